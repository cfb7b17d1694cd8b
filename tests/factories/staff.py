"""Staff for tests, valid by default."""

import datetime
import itertools

from outreach.staff.models import StaffMember
from outreach.staff.roles import Role

_numbers = itertools.count(1)


def make_member(**differences) -> StaffMember:
    number = next(_numbers)
    fields = {"username": f"member{number}", "full_name": f"Member {number}", "role": Role.COORDINATOR}
    fields |= differences
    if fields["role"] == Role.AUDITOR:
        fields.setdefault("ends_on", datetime.date(2099, 12, 31))
    password = fields.pop("password", None)
    member = StaffMember(**fields)
    if password:
        member.set_password(password)
    else:
        member.set_unusable_password()
    member.save()
    return member
