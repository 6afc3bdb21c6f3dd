"""Shadow to highlight: ramps, scheme files, advice."""
