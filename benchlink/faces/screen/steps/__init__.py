"""The pages from the list of ports to the steps of the job."""
