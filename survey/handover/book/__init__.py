"""The job book's chapters, one module each: every chapter gives the blocks of its pages."""
