"""The pages: thin handlers over the store, the documents and the core."""
