"""What the shop gets: pictures, outlines and tables, as files."""
