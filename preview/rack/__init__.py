"""The paints one owns: load, find, read measurements."""
