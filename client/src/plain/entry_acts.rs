//! What can be done with an entry of the ledger, and by whom.

use selion_core::document::Garden;
use selion_core::document::ids::{EntryId, MemberId};
use selion_core::document::records::Payer;
use selion_core::document::shared_out::payer_name;
use selion_core::quantities::Currency;

/// What somebody may do with an entry that they look at.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct EntryActs {
    /// Which entry.
    pub entry: EntryId,
    /// The year of its ledger.
    pub year: i16,
    /// It can still be confirmed, by whoever was paid or a coordinator.
    pub can_be_confirmed: bool,
    /// Who had it.
    pub had_by: Payer,
    /// It can still be taken back, by a coordinator, or by its writer before it is confirmed.
    pub can_be_taken_back: bool,
    /// Whoever looks wrote it, and it is not confirmed.
    pub mine_to_take_back: bool,
    /// An entry that it looks like, in a sentence.
    pub looks_like: Option<String>,
}

/// What can be done with the entry of a line; nothing for a share or what was carried over.
pub fn entry_acts(
    garden: &Garden,
    entry: EntryId,
    me: Option<MemberId>,
    currency: Currency,
) -> Option<EntryActs> {
    let (year, record) = garden.entry(entry)?;
    let ledger = garden.ledgers.get(&year)?;
    let taken_back = ledger.is_taken_back(entry);
    let waits = record.confirmed_by.is_none() && record.reverses.is_none() && !taken_back;
    let twin = record.looks_like.filter(|_| waits);
    let twin = twin.and_then(|twin| ledger.entries.get(&twin));
    let looks_like = twin.map(|twin| {
        format!(
            "{} has written the same: {} on {}, from {} to {}.",
            garden.name_of(twin.written_by),
            twin.amount.show(currency),
            twin.day,
            payer_name(garden, twin.from),
            payer_name(garden, twin.to)
        )
    });
    Some(EntryActs {
        entry,
        year,
        can_be_confirmed: waits,
        had_by: record.to,
        can_be_taken_back: record.reverses.is_none() && !taken_back,
        mine_to_take_back: me == Some(record.written_by) && record.confirmed_by.is_none(),
        looks_like,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plain::sample::member;
    use crate::plain::statement::tests::{id, with_entries};

    #[test]
    fn a_double_says_what_it_looks_like_and_who_may_decide() {
        let garden = with_entries();
        let dollars = garden.profile.as_ref().unwrap().currency;
        let acts = |entry, me| entry_acts(&garden, id(entry), Some(member(me)), dollars).unwrap();
        let double = acts(3, 1);
        assert_eq!(
            double.looks_like.as_deref(),
            Some(
                "Ines has written the same: $2.00 on 2026-05-02, from Ines to Garden, common beds."
            )
        );
        assert!(double.can_be_confirmed && double.mine_to_take_back);
        assert_eq!(double.had_by, Payer::Garden);
        let counted = acts(2, 1);
        assert!(
            !counted.can_be_confirmed && counted.can_be_taken_back && !counted.mine_to_take_back
        );
    }
}
