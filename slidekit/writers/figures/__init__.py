"""Pages as pictures: PDF and PNG drawn by matplotlib, SVG written element by element."""
