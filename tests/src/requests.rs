//! What the coordinators are asked, and how it is settled once.

use selion_core::document::Edit;
use selion_core::document::ids::MemberId;
use selion_core::policy::RefusalCode;

use crate::small_garden::{LEDGER, SmallGarden, ash, day, ids, ines, tomasz, wren};

fn asks(number: u8, about: Option<u8>) -> Edit {
    Edit::AskCoordinator {
        request: ids::request(number),
        about: about.map(ids::order),
        day: day("2026-03-21"),
        text: "Two bags more, if they can be had".to_owned(),
    }
}

fn answers(number: u8, word: &str) -> Edit {
    Edit::AnswerRequest {
        request: ids::request(number),
        on: day("2026-03-22"),
        word: word.to_owned(),
    }
}

fn refused(garden: &mut SmallGarden, who: MemberId, edit: Edit) -> RefusalCode {
    garden.tries(who, LEDGER, edit).unwrap_err().code
}

#[test]
fn a_request_is_settled_once_and_the_second_answer_is_told_so() {
    let mut garden = SmallGarden::new();
    garden.does(wren(), LEDGER, asks(30, Some(1)));
    assert_eq!(
        refused(&mut garden, tomasz(), answers(30, "no")),
        RefusalCode::NotAllowed
    );
    garden.does(ines(), LEDGER, answers(30, "Yes, two"));
    let again = garden.does(ines(), LEDGER, answers(30, "Yes, two"));
    assert!(
        again.change.is_none(),
        "the same answer once more changes nothing"
    );
    let other = garden.tries(ines(), LEDGER, answers(30, "No")).unwrap_err();
    assert_eq!(other.code, RefusalCode::Closed);
    assert!(
        other.message.starts_with("Ines already settled this"),
        "{}",
        other.message
    );
    let (ledgers, id) = (&garden.replica.garden().ledgers, ids::request(30));
    let found = ledgers
        .values()
        .find_map(|ledger| ledger.requests.get(&id))
        .unwrap();
    assert_eq!(found.answer.as_ref().unwrap().word, "Yes, two");
    assert_eq!(found.asked_by, wren());
}

#[test]
fn whoever_asked_may_say_that_it_is_settled() {
    let mut garden = SmallGarden::new();
    garden.does(wren(), LEDGER, asks(31, None));
    garden.does(wren(), LEDGER, answers(31, "No need any more"));
}

#[test]
fn a_request_is_about_an_order_that_is_there_and_comes_from_somebody_who_sees_money() {
    let mut garden = SmallGarden::new();
    assert_eq!(
        refused(&mut garden, wren(), asks(32, Some(77))),
        RefusalCode::NotThere
    );
    assert_eq!(
        refused(&mut garden, ash(), asks(32, None)),
        RefusalCode::NotAllowed
    );
    assert_eq!(
        refused(&mut garden, ines(), answers(77, "")),
        RefusalCode::NotThere
    );
    let empty = Edit::AskCoordinator {
        request: ids::request(33),
        about: None,
        day: day("2026-03-21"),
        text: "  ".to_owned(),
    };
    assert_eq!(refused(&mut garden, wren(), empty), RefusalCode::BadInput);
}
