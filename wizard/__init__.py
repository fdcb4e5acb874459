"""Steadfoot: a whole job on a faulty machine, such as a washer that shakes, from the door to the handover."""

VERSION = "0.1.0"
