"""The room: floor plans, distances, exact walks and the geometry of the route map.

Pure: whole millimetres in, whole millimetres out; no database, no drawing library, no clock.
"""
