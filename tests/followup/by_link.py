"""Answering through a link as a browser does."""

from django.test import Client

from outreach.followup.models import Answer


def path_of(address):
    return "/" + address.split("/", 3)[3]


def post(link, page="", **said):
    path, _mark, query = link.partition("?")
    return Client().post(path + page + (f"?{query}" if query else ""), said)


def current():
    return Answer.objects.current().get()
