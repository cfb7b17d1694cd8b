"""Addresses of the bins pages."""

from django.urls import path

from outreach.bins import (
    handout_pages,
    handout_step_pages,
    model_pages,
    order_pages,
    owed_pages,
    pause_pages,
    rule_pages,
    shelf_pages,
    stock_pages,
)

urlpatterns = [
    path("", stock_pages.bins, name="bins"),
    path("movements/", stock_pages.movements, name="movements"),
    path("lot/", stock_pages.lot, name="lot"),
    path("receive/", shelf_pages.stock_receive, name="stock_receive"),
    path("move/", shelf_pages.stock_move, name="stock_move"),
    path("count/", shelf_pages.stock_count, name="stock_count"),
    path("write-off/", shelf_pages.stock_write_off, name="stock_write_off"),
    path("models/", model_pages.bin_models, name="bin_models"),
    path("models/add/", model_pages.bin_model_add, name="bin_model_add"),
    path("models/<int:model_id>/", model_pages.bin_model, name="bin_model"),
    path("places/", model_pages.stock_places, name="stock_places"),
    path("places/add/", model_pages.stock_place_add, name="stock_place_add"),
    path("places/<int:place_id>/", model_pages.stock_place, name="stock_place"),
    path("orders/", order_pages.orders, name="orders"),
    path("orders/add/", order_pages.order_add, name="order_add"),
    path("orders/<int:order_id>/", order_pages.order, name="order"),
    path("orders/<int:order_id>/correct/", order_pages.order_edit, name="order_edit"),
    path("orders/<int:order_id>/cancel/", order_pages.order_cancel, name="order_cancel"),
    path("orders/<int:order_id>/receive/", shelf_pages.order_receive, name="order_receive"),
    path("rules/", rule_pages.rules, name="rules"),
    path("rules/add/", rule_pages.rule_add, name="rule_add"),
    path("exceptions/", rule_pages.exceptions, name="exceptions"),
    path("exceptions/<int:exception_id>/", rule_pages.exception_reason, name="exception_reason"),
    path("handouts/", handout_pages.handouts, name="handouts"),
    path("handouts/<int:handout_id>/", handout_pages.handout, name="handout"),
    path("handouts/<int:handout_id>/correct/", handout_step_pages.handout_correct, name="handout_correct"),
    path(
        "handouts/<int:handout_id>/take-back/", handout_step_pages.handout_take_back, name="handout_take_back"
    ),
    path("handouts/<int:handout_id>/replace/", handout_step_pages.handout_replace, name="handout_replace"),
    path("handouts/<int:handout_id>/void/", handout_step_pages.handout_void, name="handout_void"),
    path("households/<int:household_id>/hand-out/", handout_pages.hand_out, name="hand_out"),
    path("owed/", owed_pages.owed_bins, name="owed_bins"),
    path("owed/<int:promise_id>/let-go/", owed_pages.owed_let_go, name="owed_let_go"),
    path("households/<int:household_id>/owe/<int:workshop_id>/", owed_pages.owe_bin, name="owe_bin"),
    path("households/<int:household_id>/pause/", pause_pages.pause_add, name="pause_add"),
    path("pauses/<int:pause_id>/", pause_pages.pause, name="pause"),
    path("households/<int:household_id>/move-out/", handout_step_pages.move_out, name="move_out"),
]
