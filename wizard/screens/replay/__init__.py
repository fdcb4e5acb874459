"""The screens of a reviewer."""
