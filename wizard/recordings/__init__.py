"""What a recording of a whole spin says: a phone's motion or sound, its course of speed, and what shakes, bangs or
roars in it.
"""
