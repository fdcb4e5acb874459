"""The program: its app, the home screen, beginning a job."""
