"""The auditor's pack: a filing with everything that stands behind it, in one zip that needs no Loambook."""
