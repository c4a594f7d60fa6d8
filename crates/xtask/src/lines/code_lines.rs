//! Lines of a file on which a token of the program stands, without documentation and without what only tests see.

use std::collections::BTreeSet;

use proc_macro2::{Delimiter, Group, LexError, TokenStream, TokenTree};

/// Code of a file.
#[derive(Debug, Default)]
pub(super) struct Code {
    /// Lines with code on them.
    pub(super) lines: usize,
    /// Modules in files of their own that only tests see.
    pub(super) test_modules: Vec<String>,
}

/// The lines of a file's code.
///
/// # Errors
///
/// A text that cannot be cut into Rust's tokens.
pub(super) fn of(text: &str) -> Result<Code, LexError> {
    let mut walk = CodeWalk::default();
    walk.stream(text.parse()?);
    Ok(Code {
        lines: walk.lines.len(),
        test_modules: walk.test_modules,
    })
}

#[derive(Default)]
struct CodeWalk {
    lines: BTreeSet<usize>,
    test_modules: Vec<String>,
}

impl CodeWalk {
    fn stream(&mut self, stream: TokenStream) {
        let tokens: Vec<TokenTree> = stream.into_iter().collect();
        let mut rest = tokens.as_slice();
        while let Some((token, after)) = rest.split_first() {
            rest = match attribute(rest) {
                Some((content, after)) if is(content, "doc") => after,
                Some((content, after)) if is_cfg_test(content) => self.test_item(after),
                _ => {
                    self.token(token);
                    after
                }
            };
        }
    }

    fn token(&mut self, token: &TokenTree) {
        match token {
            TokenTree::Group(group) => {
                self.lines.insert(group.span_open().start().line);
                self.lines.insert(group.span_close().start().line);
                self.stream(group.stream());
            }
            other => {
                let span = other.span();
                self.lines.extend(span.start().line..=span.end().line);
            }
        }
    }

    /// Passes over the item that follows, up to its braces or its semicolon, and keeps the name of a module.
    fn test_item<'a>(&mut self, tokens: &'a [TokenTree]) -> &'a [TokenTree] {
        let mut module = None;
        let mut rest = tokens;
        while let Some((token, after)) = rest.split_first() {
            rest = after;
            match token {
                TokenTree::Ident(word) if word == "mod" => {
                    module = after.first().map(ToString::to_string);
                }
                TokenTree::Punct(sign) if sign.as_char() == ';' => {
                    self.test_modules.extend(module);
                    return rest;
                }
                TokenTree::Group(group) if group.delimiter() == Delimiter::Brace => return rest,
                _ => {}
            }
        }
        rest
    }
}

/// The content of the attribute that begins here, and what follows it.
fn attribute(tokens: &[TokenTree]) -> Option<(&Group, &[TokenTree])> {
    let is_sign =
        |token: &TokenTree, sign| matches!(token, TokenTree::Punct(own) if own.as_char() == sign);
    let (first, rest) = tokens.split_first()?;
    if !is_sign(first, '#') {
        return None;
    }
    let rest = match rest.split_first()? {
        (second, rest) if is_sign(second, '!') => rest,
        _ => rest,
    };
    match rest.split_first()? {
        (TokenTree::Group(group), rest) if group.delimiter() == Delimiter::Bracket => {
            Some((group, rest))
        }
        _ => None,
    }
}

fn is(attribute: &Group, name: &str) -> bool {
    let first = attribute.stream().into_iter().next();
    matches!(first, Some(TokenTree::Ident(word)) if word == name)
}

fn is_cfg_test(attribute: &Group) -> bool {
    let condition = attribute.stream().to_string().replace(' ', "");
    condition == "cfg(test)" || condition.starts_with("cfg(all(test,")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_lines_with_code_count() {
        let code = of(r#"//! A crate.
#![forbid(unsafe_code)]

// Why.
/// A text.
const TEXT: &str = "one
// two
three";

/* none */
fn f(
    a: u8, // a
) {
    g(a /* b */);
}

#[cfg(test)]
use std::fmt;

#[cfg(test)]
mod tests {
    fn t() {}
}

#[cfg(all(test, feature = "draws"))]
mod laws;
mod g;
"#)
        .unwrap();
        assert_eq!(code.lines, 1 + 3 + 5 + 1);
        assert_eq!(code.test_modules, ["laws"]);
    }
}
