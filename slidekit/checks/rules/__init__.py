"""The rules of `check`: one module for each family, all of them named in `register`."""
