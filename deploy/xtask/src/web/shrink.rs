//! Scripts, the style sheet and the page without what only people read: comments, and space at the beginning of lines.
//!
//! Nothing is renamed or rewritten, so what runs is what stands in `client/`. The rules are strict rather than clever: a
//! file in which they could go wrong is left as it is.

/// The content of a file of this name as it is sent to phones.
pub(super) fn shrunk(name: &str, content: Vec<u8>) -> Vec<u8> {
    match std::str::from_utf8(&content) {
        Ok(text) => shrink(name, text).into_bytes(),
        Err(_no_text) => content,
    }
}

fn shrink(name: &str, text: &str) -> String {
    let shrunk = match name.rsplit('.').next() {
        Some("css") => style(text),
        Some("js") => script(text),
        Some("html") => without_spans(text, "<!--", "-->").map(|text| bare_lines(&text)),
        _ => None,
    };
    shrunk.unwrap_or_else(|| text.to_owned())
}

/// A script without lines that are nothing but a comment, and without indentation. None where a text goes over several
/// lines, whose indentation is part of it.
fn script(text: &str) -> Option<String> {
    let mut kept = Vec::new();
    let mut in_comment = false;
    for line in text.lines().map(str::trim) {
        if line.matches('`').count() % 2 == 1 {
            return None;
        }
        in_comment |= line.starts_with("/*");
        if in_comment {
            in_comment = !line.contains("*/");
            if !in_comment && !line.ends_with("*/") {
                return None;
            }
        } else if !line.is_empty() && !line.starts_with("//") {
            kept.push(line);
        }
    }
    Some(kept.join("\n"))
}

/// A style sheet without comments, and without space where it means nothing.
fn style(text: &str) -> Option<String> {
    let text = without_spans(text, "/*", "*/")?;
    let mut kept = String::new();
    let mut quote = None;
    let mut space = false;
    for letter in text.chars() {
        if quote.is_none() && letter.is_whitespace() {
            space = true;
            continue;
        }
        // A space before a colon is kept: in a selector it stands between two elements.
        let needs_space = space
            && !matches!(letter, '{' | '}' | ';' | ',')
            && !kept.ends_with(['{', '}', ';', ',', ':'])
            && !kept.is_empty();
        if needs_space {
            kept.push(' ');
        }
        space = false;
        if letter == '}' && kept.ends_with(';') {
            kept.pop();
        }
        kept.push(letter);
        match quote {
            None if matches!(letter, '"' | '\'') => quote = Some(letter),
            Some(open) if letter == open => quote = None,
            // A quote behind this stroke would not close the text.
            Some(_) if letter == '\\' => return None,
            _ => {}
        }
    }
    Some(kept)
}

/// The text without everything from `open` to `close`; none if one of those is never closed.
fn without_spans(text: &str, open: &str, close: &str) -> Option<String> {
    let mut kept = String::new();
    let mut rest = text;
    while let Some((before, after)) = rest.split_once(open) {
        kept.push_str(before);
        rest = after.split_once(close)?.1;
    }
    kept.push_str(rest);
    Some(kept)
}

fn bare_lines(text: &str) -> String {
    let lines = text.lines().map(str::trim).filter(|line| !line.is_empty());
    lines.collect::<Vec<_>>().join("\n")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_style_sheet_keeps_what_it_means() {
        let css = "/* 1 tokens */\n:root {\n  --s: 4px; --f: \"a  b\", serif;\n}\n\
                   main :is(h1, h2) > a::after { content: \" · \"; margin: 0 calc(1px + 2px); }\n\
                   @media (width >= 40rem) { a { color: red; } }\n";
        assert_eq!(
            shrink("style.css", css),
            ":root{--s:4px;--f:\"a  b\",serif}main :is(h1,h2) > a::after{content:\" · \";\
             margin:0 calc(1px + 2px)}@media (width >= 40rem){a{color:red}}"
        );
        let escaped = "a::after { content: \"\\201C\"; }";
        assert_eq!(shrink("style.css", escaped), escaped);
    }

    #[test]
    fn a_script_loses_comments_and_indentation_alone() {
        let js = "// first\nconst a = `${b} // c`;\n/**\n * what\n */\nfunction d() {\n    return \"/* e */\"; // f\n}\n";
        assert_eq!(
            shrink("bootstrap.js", js),
            "const a = `${b} // c`;\nfunction d() {\nreturn \"/* e */\"; // f\n}"
        );
        for left_alone in ["const a = `\n  b`;\n", "/* a */ b();\n"] {
            assert_eq!(shrink("a.js", left_alone), left_alone);
        }
    }

    #[test]
    fn the_page_loses_its_comments_and_what_is_no_text_stays() {
        let html = "<p>\n  <!-- filled in -->\n  Selion\n</p>\n";
        assert_eq!(shrink("index.html", html), "<p>\nSelion\n</p>");
        assert_eq!(shrink("icon.svg", "  <svg/>"), "  <svg/>");
        assert_eq!(
            shrink("a.css", "a { /* never closed"),
            "a { /* never closed"
        );
    }
}
