"""How far the models are from published and exact values: the cases behind ``isofence validate``.

The numbers to hold the models against are written here once; the tests run the same cases.
"""
