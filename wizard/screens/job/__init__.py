"""The screens of a job."""
