"""The pages: one module and one `.kv` file of the same name for each."""
