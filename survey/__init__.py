"""Scribefit on site and between devices: records, files, the command, drawings."""
