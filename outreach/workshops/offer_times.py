"""How long an offer is kept, and how late one is still made. Common practice, no source."""

from datetime import timedelta

# Counted from when the person was told.
KEPT_FOR = timedelta(hours=24)
# So shortly before the start nobody is asked any more: the seats go to whoever is there.
LEAST_NOTICE = timedelta(hours=3)
