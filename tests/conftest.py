"""Here so that every test can `import rooms`: pytest puts this folder on the path."""
