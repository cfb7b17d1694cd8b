"""Addresses of messages, texts, calls and letters, and of unsubscribing."""

from django.urls import path

from outreach.post import call_pages, letter_pages, message_pages, text_pages, unsubscribe_pages

urlpatterns = [
    path("", message_pages.message_list, name="messages"),
    path("<int:pk>/", message_pages.message, name="message"),
    path("<int:pk>/letter/", letter_pages.letter, name="message_letter"),
    path("<int:pk>/<str:step>/", message_pages.message_step, name="message_step"),
    path("calls/", call_pages.calls, name="calls"),
    path("calls/<int:pk>/", call_pages.call_outcome, name="call_outcome"),
    path("letters/", letter_pages.letters, name="letters"),
    path("letters/print/", letter_pages.letters_pdf, name="letters_pdf"),
    path("letters/printed/", letter_pages.letters_printed, name="letters_printed"),
    path("texts/", text_pages.texts, name="texts"),
    path("texts/<str:key>/", text_pages.text, name="text"),
    path("no-reminders/<str:token>/", unsubscribe_pages.unsubscribe, name="unsubscribe"),
]
