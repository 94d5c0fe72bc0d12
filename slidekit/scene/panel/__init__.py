"""A printed exhibit panel: headline, lead, pictures with their words, text, and the small print."""
