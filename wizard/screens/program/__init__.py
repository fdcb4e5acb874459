"""What every program of the screens is built on: the application, its driver, what becomes of a defect."""
