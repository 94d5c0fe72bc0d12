"""Decks: pages as PresentationML (ECMA-376), in the package that python-pptx keeps."""
