"""The trainer's desk: a flow beside its editor, checked anew at every save, and tried from any of its steps."""
