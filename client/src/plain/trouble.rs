//! What can go wrong between the program and the browser or the server, each with a sentence for the person.

/// Something the browser or the server would not do.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum Trouble {
    /// The browser lacks something, or forbids it here.
    #[error("This browser does not offer {0} here.")]
    Missing(&'static str),
    /// The phone's storage has no room left.
    #[error(
        "The phone has no room left for Selion's data. Free some space; what you write now is kept in memory only."
    )]
    Full,
    /// The phone's storage failed; it may work again after the page is loaded anew.
    #[error("The phone's storage did not answer: {0}")]
    Storage(String),
    /// A key that no row may have; a mistake in the program, not in what was typed.
    #[error("A row's key must be printable ASCII without spaces; {0:?} came.")]
    BadKey(String),
    /// The server cannot be reached.
    #[error("No signal: the server could not be reached.")]
    NoSignal,
    /// The server did not answer in time.
    #[error("The server did not answer within {0} seconds.")]
    TooLate(u32),
    /// The server answered with a refusal, in its own words.
    #[error("{message}")]
    Refused {
        /// The HTTP status.
        status: u16,
        /// The stable code, to decide by.
        code: String,
        /// One clear sentence, to show.
        message: String,
    },
    /// An answer that does not have the expected shape.
    #[error("The server's answer could not be read: {0}")]
    Garbled(String),
    /// The person closed what was offered, such as the share sheet.
    #[error("Nothing was shared.")]
    Declined,
    /// Any other failure of the browser.
    #[error("The browser reported: {0}")]
    Browser(String),
}

impl Trouble {
    /// The refusal's stable code, when the server refused.
    pub fn code(&self) -> Option<&str> {
        if let Self::Refused { code, .. } = self {
            Some(code)
        } else {
            None
        }
    }

    /// Why nothing is taken from this device any more, if that is what the server's refusal of its own garden means.
    ///
    /// Decided by the code and not by the status: something in between may answer with a status of its own.
    pub fn shut_out(&self) -> Option<String> {
        match self.code()? {
            "not_signed_in" | "revoked" => Some(self.to_string()),
            "forbidden" | "not_found" => {
                Some("It has no place in this garden any more.".to_owned())
            }
            _ => None,
        }
    }

    /// Whether trying again later, with nothing changed, can help.
    pub fn may_pass(&self) -> bool {
        match self {
            Self::NoSignal | Self::TooLate(_) | Self::Storage(_) => true,
            Self::Refused { status, .. } => *status >= 500 || *status == 429,
            Self::Missing(_)
            | Self::Full
            | Self::BadKey(_)
            | Self::Garbled(_)
            | Self::Declined
            | Self::Browser(_) => false,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn refused(status: u16) -> Trouble {
        Trouble::Refused {
            status,
            code: "task_full".into(),
            message: "The places are taken.".into(),
        }
    }

    #[test]
    fn a_refusal_speaks_in_the_servers_words() {
        assert_eq!(refused(409).to_string(), "The places are taken.");
        assert_eq!(refused(409).code(), Some("task_full"));
    }

    #[test]
    fn only_passing_troubles_are_worth_another_try() {
        assert!(Trouble::NoSignal.may_pass());
        assert!(refused(503).may_pass());
        assert!(refused(429).may_pass());
        assert!(!refused(403).may_pass());
        assert!(!Trouble::Full.may_pass());
    }

    #[test]
    fn a_device_is_shut_out_by_the_code_alone() {
        let with_code = |code: &str| Trouble::Refused {
            status: 404,
            code: code.into(),
            message: "Nothing is here.".into(),
        };
        assert!(with_code("not_found").shut_out().is_some());
        assert!(with_code("revoked").shut_out().is_some());
        assert_eq!(with_code("busy").shut_out(), None);
        assert_eq!(
            with_code("").shut_out(),
            None,
            "a proxy's own answer has no code"
        );
        assert_eq!(Trouble::NoSignal.shut_out(), None);
    }
}
