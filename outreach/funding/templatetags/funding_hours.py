"""Minutes as hours on a page."""

from django import template

from outreach.funding.giving import in_hours

register = template.Library()
register.filter("as_hours", in_hours)
