"""Indexes for what is read over all jobs of one vehicle."""

VEHICLE_JOBS = """
CREATE INDEX job_of_vehicle ON job (site, vehicle, number);
"""
