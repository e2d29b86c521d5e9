//! What Selion is for and what it promises, in plain words.

use leptos::prelude::*;

use crate::parts::{Heading, Note, NoteKind};

/// The leaf.
#[component]
pub fn About() -> impl IntoView {
    view! {
        <Heading text="What this is" />
        <p>
            "A selion is an old word for one strip of a field that people share. Selion is the field book of your garden: who does what on which bed, who picks when, and what each one's share of a load or a job is."
        </p>
        <Heading text="Three promises" />
        <Note kind=NoteKind::Done lead="Nothing that somebody wrote is lost.">
            "What you write is saved on this phone before the screen says so, and sent when there is a signal. What the garden cannot take is set aside with the reason, for you to redo or drop."
        </Note>
        <Note kind=NoteKind::Done lead="Every number shows its working.">
            "Open the panel under a figure: what went in, which rule, where it comes from, how it was rounded. Shares add up to the whole, exactly."
        </Note>
        <Note kind=NoteKind::Done lead="Nobody is bumped in silence.">
            "Who holds a task, a bed or a picking turn is the same on every phone. The first claim to arrive holds; whoever stands by is told, and so is whoever moves up."
        </Note>
        <Heading text="With no signal" />
        <p>
            "Everything but inviting and devices works without one. The line at the top always tells how things stand: in step with the garden, so many waiting on this phone, or something set aside."
        </p>
        <Heading text="Words" />
        <dl class="words">
            <dt>"Coordinator"</dt><dd>"plans the ground, orders in bulk, keeps people and roles"</dd>
            <dt>"Member"</dt><dd>"holds a bed, alone or in parts with others"</dd>
            <dt>"Helper"</dt><dd>"comes to help, without a bed"</dd>
            <dt>"Stand-by"</dt><dd>"claimed, but the places are taken; next in line when one comes free"</dd>
            <dt>"Common bed"</dt><dd>"held by nobody in particular; its shares are on the garden's account"</dd>
            <dt>"Load"</dt><dd>"something bought together, shared by bed area"</dd>
            <dt>"Closed"</dt><dd>"frozen as it stood that day; what changes afterwards does not change it"</dd>
        </dl>
    }
}
