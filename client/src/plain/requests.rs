//! What the coordinators are asked: a wish that came too late, ready to be sent; what waits for an answer; what was answered.

use selion_core::document::ids::{MemberId, OrderId, RequestId};
use selion_core::document::records::Request;
use selion_core::document::{DocumentName, Edit, Garden};
use selion_core::ordered;
use selion_core::policy::{RefusalCode, Refused};
use selion_core::quantities::Day;

use super::wording::{capital, day_words};

/// An answer stays on its asker's screen so many days.
const ANSWERED_DAYS: i64 = 14;

/// A request that is ready to be sent.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Ready {
    /// About which order.
    pub order: OrderId,
    /// The words, to be changed or sent as they are.
    pub text: String,
}

/// What may be asked in place of a wish that came after its order was closed; nothing for whatever else was refused.
pub fn in_place_of(garden: &Garden, edit: &Edit, refused: &Refused) -> Option<Ready> {
    let Edit::AskFor {
        order,
        line,
        amount,
        ..
    } = edit
    else {
        return None;
    };
    if refused.code != RefusalCode::TooLate {
        return None;
    }
    let (_, record) = garden.order(*order)?;
    let units = garden.profile.as_ref()?.units;
    let wanted = record.lines.get(line).map_or_else(
        || record.title.clone(),
        |line| {
            let amount = line.counted_in.show(*amount, units);
            format!("{amount} of {}", line.material)
        },
    );
    Some(Ready {
        order: *order,
        text: format!("Can I still have {wanted}? My wish came after the order was closed."),
    })
}

/// A request as it is listed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RequestRow {
    /// Which.
    pub request: RequestId,
    /// The ledger it stands in.
    pub document: DocumentName,
    /// Who asks.
    pub who: String,
    /// What is asked.
    pub text: String,
    /// When, and about which order.
    pub small: String,
    /// About which order.
    pub order: Option<OrderId>,
    /// What was answered, and by whom, if it was.
    pub answer: Option<String>,
    /// Whoever looks asked it.
    pub mine: bool,
}

/// Requests that nobody has settled, the earliest first.
pub fn open_requests(garden: &Garden, me: Option<MemberId>, today: Day) -> Vec<RequestRow> {
    listed(garden, me, today, |request| request.answer.is_none())
}

/// One's own requests that somebody else settled lately.
pub fn answered(garden: &Garden, me: MemberId, today: Day) -> Vec<RequestRow> {
    listed(garden, Some(me), today, |request| {
        let answer = request.answer.as_ref();
        request.asked_by == me
            && answer.is_some_and(|answer| {
                answer.by != me && answer.on.days_until(today) <= ANSWERED_DAYS
            })
    })
}

fn listed(
    garden: &Garden,
    me: Option<MemberId>,
    today: Day,
    wanted: impl Fn(&Request) -> bool,
) -> Vec<RequestRow> {
    let mut rows = Vec::new();
    for (year, ledger) in &garden.ledgers {
        for (id, request) in &ledger.requests {
            if wanted(request) {
                let document = DocumentName::Ledger(*year);
                rows.push(request_row(garden, (*id, document), request, me, today));
            }
        }
    }
    ordered::sort_by_key(&mut rows, |row| row.request);
    rows
}

fn request_row(
    garden: &Garden,
    (request, document): (RequestId, DocumentName),
    record: &Request,
    me: Option<MemberId>,
    today: Day,
) -> RequestRow {
    let mut small = capital(&day_words(record.day, today));
    if let Some((_, order)) = record.about.and_then(|order| garden.order(order)) {
        small.push_str(" · ");
        small.push_str(&order.title);
    }
    let mine = me == Some(record.asked_by);
    let answer = record.answer.as_ref().map(|answer| {
        let by = garden.name_of(answer.by);
        if answer.word.is_empty() {
            format!("{by} has settled it.")
        } else {
            format!("{by}: “{}”", answer.word)
        }
    });
    RequestRow {
        request,
        document,
        who: if mine {
            "You".to_owned()
        } else {
            garden.name_of(record.asked_by).to_owned()
        },
        text: record.text.clone(),
        small,
        order: record.about,
        answer,
        mine,
    }
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use selion_core::document::Ledger;
    use selion_core::document::edit::NewOrder;
    use selion_core::document::ids::LineId;
    use selion_core::document::records::{AmountsFrom, Answer, Order, OrderLine, Payer};
    use selion_core::quantities::{Amount, Moment};

    use super::*;
    use crate::plain::sample::{day, garden, member};

    fn order_id() -> OrderId {
        OrderId::fresh(Moment::from_millis(1), [0; 10])
    }

    fn with_order() -> (Garden, Edit) {
        let mut garden = garden();
        let line = LineId::fresh(Moment::from_millis(1), [0; 10]);
        let record = OrderLine {
            material: "Ground limestone".into(),
            amounts: AmountsFrom::Wishes,
            ..OrderLine::default()
        };
        let order = Order::from(NewOrder {
            title: record.material.clone(),
            lines: [(line, record)].into(),
            ..NewOrder::default()
        });
        let wish = Edit::AskFor {
            order: order_id(),
            line,
            whose: Payer::Member(member(1)),
            // Two pounds and a half.
            amount: Amount::from_count(1_134),
        };
        let mut ledger = Ledger::default();
        ledger.orders.insert(order_id(), Arc::new(order));
        garden.ledgers.insert(2026, ledger);
        (garden, wish)
    }

    #[test]
    fn a_wish_that_came_too_late_is_ready_to_be_asked_for() {
        let (garden, wish) = with_order();
        let refused = |code| Refused::new(code, "Too late.");
        let ready = in_place_of(&garden, &wish, &refused(RefusalCode::TooLate)).unwrap();
        assert_eq!(ready.order, order_id());
        assert_eq!(
            ready.text,
            "Can I still have 2.5 lb of Ground limestone? My wish came after the order was closed."
        );
        assert_eq!(
            in_place_of(&garden, &wish, &refused(RefusalCode::Ended)),
            None
        );
        let other = Edit::OpenYear { year: 2027 };
        assert_eq!(
            in_place_of(&garden, &other, &refused(RefusalCode::TooLate)),
            None
        );
    }

    #[test]
    fn a_request_waits_for_the_coordinator_and_its_answer_for_whoever_asked() {
        let (mut garden, _) = with_order();
        let id = RequestId::fresh(Moment::from_millis(1), [0; 10]);
        let asked = Request {
            about: Some(order_id()),
            asked_by: member(1),
            day: day("2026-06-10"),
            text: "Can I still have some?".into(),
            answer: None,
        };
        let set = |garden: &mut Garden, request: &Request| {
            let ledger = garden.ledgers.get_mut(&2026).unwrap();
            ledger.requests.insert(id, Arc::new(request.clone()));
        };
        set(&mut garden, &asked);
        let today = day("2026-06-11");
        let open = open_requests(&garden, Some(member(2)), today);
        let words: Vec<String> = open
            .iter()
            .map(|row| format!("{}: {} ({})", row.who, row.text, row.small))
            .collect();
        assert_eq!(
            words,
            ["Ines: Can I still have some? (Yesterday · Ground limestone)"]
        );
        assert!(answered(&garden, member(1), today).is_empty());
        let answer = Some(Answer {
            by: member(2),
            on: today,
            word: "Two bags are left".into(),
        });
        set(&mut garden, &Request { answer, ..asked });
        assert!(open_requests(&garden, Some(member(2)), today).is_empty());
        let back = answered(&garden, member(1), today);
        assert_eq!(
            back[0].answer.as_deref(),
            Some("Tomasz: “Two bags are left”")
        );
        assert!(
            answered(&garden, member(2), today).is_empty(),
            "it is not theirs"
        );
        assert!(
            answered(&garden, member(1), day("2026-07-11")).is_empty(),
            "nor for ever"
        );
    }
}
