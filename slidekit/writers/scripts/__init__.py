"""The words of a talk: to read, to print, to prompt from, as captions."""
