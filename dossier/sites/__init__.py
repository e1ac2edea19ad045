"""From the notebook to the trees that are published: jobs, clients' sites, the bench."""
