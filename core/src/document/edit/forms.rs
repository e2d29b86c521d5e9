//! How edits stand as JSON: the words and fields as they are sent and stored. They are added to and never renamed.

use super::{
    BedField, Claimable, Edit, FenceField, JobField, MemberField, NewOrder, NewTurn, NoteBase,
    NoteOf, OrderField, Piece, ProfileField, StructureField, TaskField,
};
use crate::json::{choice, record, tagged};

tagged!(Edit by "edit" {
    "change_profile" => ChangeProfile { set },
    "open_year" => OpenYear { year },
    "close_year" => CloseYear { year },
    "add_member" => AddMember { member, name, role },
    "change_member" => ChangeMember { member, set },
    "add_bed" => AddBed { bed, label, outline, holders = default },
    "change_bed" => ChangeBed { bed, set },
    "split_bed" => SplitBed { bed, seen, outline, pieces },
    "merge_beds" => MergeBeds { bed, seen, with, seen_with, outline, holders = default, on },
    "add_structure" => AddStructure { structure, label, outline },
    "draw_structure" => DrawStructure { structure, label, outline, what = default },
    "change_structure" => ChangeStructure { structure, set },
    "end_structure" => EndStructure { structure, on },
    "add_fence_line" => AddFenceLine { fence, label, line, gates = default },
    "change_fence_line" => ChangeFenceLine { fence, set },
    "end_fence_line" => EndFenceLine { fence, on },
    "keep_crop" => KeepCrop { crop, record },
    "keep_recipient" => KeepRecipient { recipient, record },
    "plant" => Plant { plantings, series },
    "change_planting" => ChangePlanting { planting, set },
    "move_series" => MoveSeries { series, days },
    "mark_planting" => MarkPlanting { planting, state, on },
    "accept_proposal" => AcceptProposal { task, accepted },
    "set_proposal_aside" => SetProposalAside { task, accepted, on },
    "propose_again" => ProposeAgain { task, on },
    "log_harvest" => LogHarvest { picking, harvest },
    "note_weather" => NoteWeather { readings },
    "strike_weather" => StrikeWeather { reading, on },
    "write_note" => WriteNote { of, text, base },
    "add_task" => AddTask { task, title, bed, day, places, minutes = default, job, note = default },
    "change_task" => ChangeTask { task, set },
    "claim" => Claim { of, claim },
    "give_back" => GiveBack { of, claim },
    "hand_over" => HandOver { of, claim, to, new_claim },
    "done" => Done { of, claim, minutes, on, word = default },
    "not_done" => NotDone { of, claim },
    "add_turns" => AddTurns { turns },
    "end_turn" => EndTurn { turn, on },
    "log_picking" => LogPicking { picking, bed, day, crop, mass, picked, turn, word = default },
    "strike_picking" => StrikePicking { picking, on },
    "add_job" => AddJob { job, title, total, beds_left_out = default },
    "change_job" => ChangeJob { job, set },
    "close_job" => CloseJob { job, on, seen },
    "log_hours" => LogHours { hours, job, minutes, day, word = default },
    "strike_hours" => StrikeHours { hours, on },
    "add_order" => AddOrder { order, new },
    "change_order" => ChangeOrder { order, set },
    "close_order" => CloseOrder { order, on, seen },
    "ask_for" => AskFor { order, line, whose, amount },
    "enter_invoice" => EnterInvoice {
        order,
        on,
        delivered = default,
        delivery,
        none_for = default,
        seen,
        word = default,
    },
    "hand_out" => HandOut { order, line, payer, on, taken },
    "add_entry" => AddEntry { entry, from, to, kind, amount, day, order, word = default },
    "confirm_entry" => ConfirmEntry { entry },
    "reverse_entry" => ReverseEntry { entry, reverses, day, word = default },
    "carry_over" => CarryOver { on, seen },
    "ask_coordinator" => AskCoordinator { request, about, day, text },
    "answer_request" => AnswerRequest { request, on, word = default },
    "add_soil_test" => AddSoilTest { test, sheet },
    "strike_soil_test" => StrikeSoilTest { test, on },
    "set_bed_crops" => SetBedCrops { bed, now, next_year = default },
    "log_amendment" => LogAmendment {
        amendment,
        bed,
        day,
        what,
        amount,
        dug_in_on,
        word = default,
    },
    "dig_in" => DigIn { amendment, on },
    "strike_amendment" => StrikeAmendment { amendment, on },
});

choice!(ProfileField {
    "name" => Name(it),
    "units" => Units(it),
    "currency" => Currency(it),
    "time_zone" => TimeZone(it),
    "north_degrees" => NorthDegrees(it),
    "lime" => Lime(it),
    "compost" => Compost(it),
    "rules" => Rules(it),
    "latitude" => Latitude(it),
    "frost" => Frost(it),
    "accept" => Accept(it),
    "backdrop" => Backdrop(it),
});

choice!(MemberField { "name" => Name(it), "role" => Role(it), "ended_on" => EndedOn(it) });

choice!(BedField {
    "label" => Label(it),
    "outline" => Outline(it),
    "holders" => Holders(it),
    "ended_on" => EndedOn(it),
});

record!(Piece { label, outline });

choice!(StructureField {
    "label" => Label(it),
    "outline" => Outline(it),
    "what" => What(it),
    "ended_on" => EndedOn(it),
});

choice!(FenceField {
    "label" => Label(it),
    "line" => Line(it),
    "gates" => Gates(it),
    "ended_on" => EndedOn(it),
});

choice!(TaskField {
    "title" => Title(it),
    "bed" => Bed(it),
    "day" => Day(it),
    "places" => Places(it),
    "minutes" => Minutes(it),
    "job" => Job(it),
    "ended_on" => EndedOn(it),
});

choice!(JobField {
    "title" => Title(it),
    "total" => Total(it),
    "beds_left_out" => BedsLeftOut(it),
    "fence" => Fence(it),
    "ended_on" => EndedOn(it),
});

choice!(Claimable { "task" => Task(it), "turn" => Turn(it) });

choice!(NoteOf { "bed" => Bed(it), "task" => Task(it) });

record!(NoteBase { heads, after });

record!(NewTurn {
    turn,
    bed,
    day,
    holder
});

record!(NewOrder {
    title,
    supplier = default,
    lines,
    delivery = default,
    delivery_rule = default,
    deposit = default,
    buyer = default,
    closes_on,
    arrives = default,
});

choice!(OrderField {
    "title" => Title(it),
    "supplier" => Supplier(it),
    "line" => Line(line, it),
    "drop_line" => DropLine(line),
    "delivery" => Delivery { fee, rule },
    "deposit" => Deposit(it),
    "buyer" => Buyer(it),
    "closes_on" => ClosesOn(it),
    "arrives" => Arrives(it),
    "fence" => Fence(it),
    "ended_on" => EndedOn(it),
});
