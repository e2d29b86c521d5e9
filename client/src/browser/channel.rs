//! Words between the tabs of this phone.

use web_sys::{BroadcastChannel, MessageEvent};

use super::{Listener, Trouble, thrown};

/// A channel that every tab with the same name hears. Dropping it leaves.
#[must_use = "dropping the channel leaves it"]
pub struct Channel {
    channel: BroadcastChannel,
    _heard: Listener,
}

impl Channel {
    /// Joins the channel; `hear` is called with each text another tab says, never with our own.
    pub fn join(name: &str, mut hear: impl FnMut(String) + 'static) -> Result<Self, Trouble> {
        let channel = BroadcastChannel::new(name)
            .map_err(|_not_there| Trouble::Missing("words between tabs"))?;
        let heard = Listener::on(&channel, "message", move |event: MessageEvent| {
            if let Some(text) = event.data().as_string() {
                hear(text);
            }
        })?;
        Ok(Self {
            channel,
            _heard: heard,
        })
    }

    /// Says a text to every other tab.
    pub fn say(&self, text: &str) -> Result<(), Trouble> {
        self.channel.post_message(&text.into()).map_err(thrown)
    }
}

impl Drop for Channel {
    fn drop(&mut self) {
        self.channel.close();
    }
}

impl std::fmt::Debug for Channel {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        out.debug_struct("Channel")
            .field("name", &self.channel.name())
            .finish_non_exhaustive()
    }
}
