"""The job log and the job folder: what the shop saw and did, append-only, chained by hashes."""
