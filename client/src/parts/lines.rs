//! The lines of the book: margin column with the bed, the matter, the figure.

use super::Press;
use crate::piece::{El, Given, Piece, Words, el, when};

/// The heading of a group of lines.
#[inline(never)]
pub fn heading(words: impl Into<Words>) -> El {
    el("h2").child(words.into())
}

/// A group of lines.
pub fn lines() -> El {
    // Some browsers forget that a list without bullets is a list; the role reminds them.
    el("ul").class("lines").attr("role", "list")
}

/// One line. With `href` or `on_press` the whole line can be touched; buttons in the figure column keep their own.
#[must_use = "a part is on the page only once it stands in another"]
#[derive(Debug)]
pub struct Line {
    bed: Words,
    what: Words,
    small: Words,
    touched: Touched,
    mine: Given<bool>,
    done: Given<bool>,
    figure: Option<El>,
}

/// What a touch on a line does.
#[derive(Debug)]
enum Touched {
    Nothing,
    Leads(Words),
    Does(Press),
}

/// A line about this, in one line if it fits.
#[inline(never)]
pub fn line(what: impl Into<Words>) -> Line {
    Line {
        bed: Words::None,
        what: what.into(),
        small: Words::None,
        touched: Touched::Nothing,
        mine: Given::Fixed(false),
        done: Given::Fixed(false),
        figure: None,
    }
}

impl Line {
    /// The margin column: a bed, or another short name.
    #[inline(never)]
    pub fn bed(self, bed: impl Into<Words>) -> Self {
        Self {
            bed: bed.into(),
            ..self
        }
    }

    /// A second, smaller line.
    #[inline(never)]
    pub fn small(self, small: impl Into<Words>) -> Self {
        Self {
            small: small.into(),
            ..self
        }
    }

    /// Where a touch leads.
    #[inline(never)]
    pub fn href(self, href: impl Into<Words>) -> Self {
        Self {
            touched: Touched::Leads(href.into()),
            ..self
        }
    }

    /// What a touch does, if it leads nowhere.
    #[inline(never)]
    pub fn on_press(self, press: impl Fn() + 'static) -> Self {
        Self {
            touched: Touched::Does(Press::new(press)),
            ..self
        }
    }

    /// Whether it belongs to whoever is looking.
    #[inline(never)]
    pub fn mine(self, mine: impl Into<Given<bool>>) -> Self {
        Self {
            mine: mine.into(),
            ..self
        }
    }

    /// Whether it is over and done.
    #[inline(never)]
    pub fn done(self, done: impl Into<Given<bool>>) -> Self {
        Self {
            done: done.into(),
            ..self
        }
    }

    /// What stands in the figure column.
    #[inline(never)]
    pub fn child(self, child: impl Into<Piece>) -> Self {
        let figure = self.figure.unwrap_or_else(|| el("span").class("fig"));
        Self {
            figure: Some(figure.child(child)),
            ..self
        }
    }
}

impl From<Line> for Piece {
    fn from(line: Line) -> Self {
        let Line {
            bed,
            what,
            small,
            touched,
            mine,
            done,
            figure,
        } = line;
        let matter = match touched {
            Touched::Nothing => el("span"),
            Touched::Leads(href) => el("a").attr("href", href),
            Touched::Does(press) => el("button")
                .attr("type", "button")
                .on("click", move || press.now()),
        };
        let matter = matter
            .class("what")
            .child(what)
            .child(said_if(&mine, ", yours"))
            .child(said_if(&done, ", done"));
        let is_given = small.are_given();
        let second = move || small.some().map(|small| el("small").child(small));
        let small = is_given.then_some(second);
        el("li")
            .class("line")
            .class_if("mine", mine)
            .class_if("done", done)
            .child(el("span").class("bed").child(bed))
            .child(el("span").class("matter").child(matter).child(small))
            .child(figure)
            .into()
    }
}

// What the colour says, for those who do not see it.
fn said_if(is_so: &Given<bool>, words: &'static str) -> Piece {
    let said = move || el("span").class("visually-hidden").child(words);
    match is_so {
        Given::Fixed(is_so) => is_so.then(said).into(),
        Given::Live(is_so) => {
            let is_so = std::sync::Arc::clone(is_so);
            when(move || is_so.ask(), said).into()
        }
    }
}
