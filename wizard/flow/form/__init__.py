"""What is made of the declarations of the files: checking, the JSON Schema, the reference."""
