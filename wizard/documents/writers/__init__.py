"""Writers of the document tree, one a file, all with one interface."""
