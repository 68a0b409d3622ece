"""Line drawings (DXF) as exact lines and arcs in millimetres: read, joined, nested, picked from."""
