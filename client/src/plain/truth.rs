//! The words of the truth line: where what was written stands, in one short sentence.

/// How things stand between this phone and the garden.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TruthKind {
    /// Everything written here has arrived, and everything there has come.
    InStep,
    /// Something written here waits to be sent.
    Waiting,
    /// The garden refused something; its author should look.
    Aside,
    /// Nothing waits, but there is no signal, so news may be missing.
    NoSignal,
}

/// One truth line.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Truth {
    /// Which mark and colour.
    pub kind: TruthKind,
    /// The sentence; read out when it changes.
    pub sentence: String,
    /// The right end: a time, `no signal`, or the words of the link.
    pub right: String,
    /// Where the right end leads, if anywhere.
    pub href: Option<String>,
}

impl Truth {
    /// Nothing is known yet: the phone's own storage is being read.
    pub fn opening() -> Self {
        Self::plain(TruthKind::NoSignal, "Opening what this phone has", "")
    }

    /// All is in step, since this time of day.
    pub fn in_step(at: impl Into<String>) -> Self {
        Self::plain(TruthKind::InStep, "In step with the garden", at)
    }

    /// In touch, and what others did meanwhile is still coming in.
    pub fn catching_up() -> Self {
        Self::plain(TruthKind::NoSignal, "Reading what is new in the garden", "")
    }

    /// So many edits wait on this phone.
    pub fn waiting(count: usize, signal: bool) -> Self {
        let right = if signal { "sending" } else { "no signal" };
        Self::plain(
            TruthKind::Waiting,
            format!("Saved on this phone, {count} waiting"),
            right,
        )
    }

    /// So many edits were set aside; the right end leads to them.
    pub fn aside(count: usize, href: impl Into<String>) -> Self {
        let line = Self::plain(
            TruthKind::Aside,
            format!("Set aside: {count}"),
            "look at it",
        );
        Self {
            href: Some(href.into()),
            ..line
        }
    }

    /// Nothing waits, but there is no signal; last in step at this time.
    pub fn no_signal(last_in_step: impl Into<String>) -> Self {
        Self::plain(
            TruthKind::NoSignal,
            "No signal; all that you wrote has arrived",
            last_in_step,
        )
    }

    /// The service signed this phone out; so many edits were never sent.
    pub fn signed_out(waiting: usize) -> Self {
        let right = if waiting > 0 {
            format!("{waiting} not sent")
        } else {
            String::new()
        };
        Self::plain(
            TruthKind::Aside,
            "Signed out: nothing is sent from this phone",
            right,
        )
    }

    fn plain(kind: TruthKind, sentence: impl Into<String>, right: impl Into<String>) -> Self {
        Self {
            kind,
            sentence: sentence.into(),
            right: right.into(),
            href: None,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_line_says_where_things_stand() {
        assert_eq!(
            Truth::waiting(3, false).sentence,
            "Saved on this phone, 3 waiting"
        );
        assert_eq!(Truth::waiting(3, false).right, "no signal");
        assert_eq!(Truth::in_step("09:41").right, "09:41");
        assert_eq!(Truth::signed_out(0).right, "");
        assert_eq!(Truth::signed_out(2).right, "2 not sent");
        assert_eq!(
            Truth::aside(1, "/garden#aside").href.as_deref(),
            Some("/garden#aside")
        );
    }
}
