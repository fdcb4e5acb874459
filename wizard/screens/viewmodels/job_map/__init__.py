"""The rows of the job map, of its column beside a step, and what is owed and to be made safe."""
