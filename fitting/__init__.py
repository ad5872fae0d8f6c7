"""Pure computation for fitting built-ins: numbers in, numbers out."""
