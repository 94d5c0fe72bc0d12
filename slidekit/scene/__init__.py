"""Where things go: pages of placed items in millimetres; text fitting; one composer per kind."""
