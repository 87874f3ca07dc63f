//! Documents: one report tree, printed to a terminal, to HTML and to PDF.
