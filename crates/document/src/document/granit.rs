//! The source of YAML events: the only module that knows `granit-parser`.
//!
//! Another source would have to give the same calls to a [`Builder`] and the same causes of
//! failure.

use std::borrow::Cow;

use granit_parser::{ErrorKind, Event, Parser, ScalarStyle, Span, StructureStyle, options};

use super::builder::{Builder, Flow, Halt};
use super::syntax::Cause;
use super::tree::{NodeKind, Style};

/// The text cannot be read on from here.
#[derive(Clone, Debug)]
pub(super) struct Broken {
    pub(super) cause: Cause,
    /// Place at which the parser noticed it.
    pub(super) at: usize,
}

/// Feeds the events of `text` to the builder; offsets are counted from `base`.
pub(super) fn feed(text: &str, base: usize, builder: &mut Builder<'_>) -> Result<(), Broken> {
    let depth = builder.depth_limit().saturating_add(2);
    let options = options! {
        emit_comments: false,
        emit_unresolved_aliases: true,
        flow_nesting_limit: depth,
        block_nesting_limit: depth,
    };
    let mut parser = Parser::new_from_str_with_options(text, options);
    while let Some(next) = parser.next_event() {
        let (event, span) = match next {
            Ok(event) => event,
            Err(error) => {
                let at = error.marker().byte_offset().unwrap_or(text.len());
                return Err(Broken {
                    cause: cause(error.kind()),
                    at: base + at.min(text.len()),
                });
            }
        };
        let start = base + span.start.byte_offset().unwrap_or(0);
        let end = base + span.end.byte_offset().unwrap_or(0);
        let range = start..end.max(start);
        let go_on = match event {
            Event::Scalar(value, style, anchor, tag) => {
                extras(builder, anchor, tag.is_some(), &span, base, start);
                let style = match style {
                    ScalarStyle::Plain => Style::Plain,
                    ScalarStyle::SingleQuoted => Style::Single,
                    ScalarStyle::DoubleQuoted => Style::Double,
                    ScalarStyle::Literal => Style::Literal,
                    ScalarStyle::Folded => Style::Folded,
                };
                if style == Style::Plain && range.is_empty() {
                    // An absent value comes as `~`, after any blanks.
                    let before = text.get(..start - base).unwrap_or_default();
                    let at = base + before.trim_end_matches(' ').len();
                    builder.scalar(Cow::Borrowed(""), style, at..at)
                } else {
                    // The end of text on lines of its own is said to lie before the next field.
                    let shown = match style {
                        Style::Literal | Style::Folded => text.get(start - base..range.end - base),
                        _ => None,
                    };
                    let shown = shown.map_or("", |shown| shown.trim_end_matches([' ', '\n', '\r']));
                    let end = if shown.is_empty() {
                        range.end
                    } else {
                        start + shown.len()
                    };
                    builder.scalar(value, style, start..end)
                }
            }
            Event::SequenceStart(flow, anchor, tag) => {
                extras(builder, anchor, tag.is_some(), &span, base, start);
                let flow = is_flow(flow);
                let start = match flow {
                    Flow::Lines => builder
                        .key_end()
                        .and_then(|key| first_dash(text, key - base)),
                    Flow::Brackets => None,
                }
                .map_or(start, |dash| base + dash);
                builder.open(NodeKind::Sequence, flow, start)
            }
            Event::MappingStart(flow, anchor, tag) => {
                extras(builder, anchor, tag.is_some(), &span, base, start);
                builder.open(NodeKind::Mapping, is_flow(flow), start)
            }
            Event::SequenceEnd | Event::MappingEnd => {
                builder.close(range.end);
                Ok(())
            }
            Event::Alias(_) | Event::UnresolvedAlias(_) => builder.alias(range),
            Event::DocumentStart(..) => builder.document(start),
            _ => Ok(()),
        };
        if let Err(Halt) = go_on {
            return Ok(());
        }
    }
    Ok(())
}

/// The dash that begins the list under a key: a list that is not indented further than its key is
/// said to start after it.
fn first_dash(text: &str, key_end: usize) -> Option<usize> {
    let mut at = key_end;
    loop {
        at += text.get(at..)?.find('\n')? + 1;
        let line = text.get(at..)?.split('\n').next()?;
        let content = line.trim_start_matches(' ');
        match content.as_bytes().first() {
            None | Some(b'#' | b'\r') => {}
            Some(b'-') => return Some(at + line.len() - content.len()),
            Some(_) => return None,
        }
    }
}

fn is_flow(style: StructureStyle) -> Flow {
    match style {
        StructureStyle::Flow => Flow::Brackets,
        StructureStyle::Block => Flow::Lines,
    }
}

/// Reports a tag or an anchor on the node that comes next.
fn extras(
    builder: &mut Builder<'_>,
    anchor: usize,
    tagged: bool,
    span: &Span,
    base: usize,
    start: usize,
) {
    if tagged {
        let range = span
            .tag_span()
            .and_then(|tag| tag.byte_range())
            .map_or(start..start, |range| base + range.start..base + range.end);
        builder.tag(range);
    }
    if anchor != 0 {
        builder.anchor(start);
    }
}

fn cause(kind: &ErrorKind) -> Cause {
    match kind {
        ErrorKind::UnclosedQuotedScalar => Cause::UnclosedQuote,
        ErrorKind::UnclosedFlowCollection { open } => Cause::UnclosedBracket(*open),
        ErrorKind::UnexpectedEofFlowSequence => Cause::UnclosedBracket('['),
        ErrorKind::UnexpectedEofFlowMapping | ErrorKind::UnexpectedEofImplicitFlowMapping => {
            Cause::UnclosedBracket('{')
        }
        ErrorKind::MismatchedFlowCollectionEnd { open, close } => {
            Cause::MismatchedBracket(*open, *close)
        }
        ErrorKind::MisplacedFlowCollectionEnd => Cause::StrayBracket,
        ErrorKind::ExpectedFlowMappingSeparator => Cause::CommaMissing('{'),
        ErrorKind::ExpectedFlowSequenceSeparator => Cause::CommaMissing('['),
        ErrorKind::TabNotAllowed
        | ErrorKind::TabInBlockIndentation
        | ErrorKind::TabInIndentation
        | ErrorKind::TabAtBlockScalarStart
        | ErrorKind::TabInPlainScalar => Cause::Tab,
        ErrorKind::InvalidIndentation
        | ErrorKind::ExpectedBlockMappingKey
        | ErrorKind::ExpectedBlockSequenceEntry
        | ErrorKind::InvalidBlockScalarIndent
        | ErrorKind::InvalidQuotedScalarIndent
        | ErrorKind::InvalidFlowScalarIndent => Cause::Indentation,
        ErrorKind::BlockSequenceEntryNotAllowed | ErrorKind::BlockEntryInFlowCollection => {
            Cause::DashInLine
        }
        ErrorKind::MappingValueNotAllowed
        | ErrorKind::InvalidColonPlacement
        | ErrorKind::MappingKeyNotAllowed => Cause::StrayColon,
        ErrorKind::SimpleKeyExpected | ErrorKind::InvalidSimpleKey => Cause::ColonMissing,
        ErrorKind::InvalidTrailingSingleQuotedScalar
        | ErrorKind::InvalidTrailingDoubleQuotedScalar => Cause::TextAfterQuote,
        ErrorKind::UnknownQuotedScalarEscape
        | ErrorKind::InvalidQuotedScalarHexEscape
        | ErrorKind::InvalidUnicodeEscape
        | ErrorKind::InvalidLowSurrogate
        | ErrorKind::InvalidLowSurrogateHexEscape
        | ErrorKind::MissingLowSurrogate
        | ErrorKind::UnpairedLowSurrogate => Cause::Escape,
        ErrorKind::UnexpectedCharacter { character } => Cause::Reserved(*character),
        ErrorKind::CommentNotSeparated => Cause::CommentGlued,
        ErrorKind::CommentInterceptedScalar => Cause::CommentInText,
        ErrorKind::RecursionLimitExceeded => Cause::TooDeep,
        ErrorKind::DirectiveDisallowed
        | ErrorKind::MissingDirectiveName
        | ErrorKind::InvalidDirectiveName
        | ErrorKind::InvalidDirectiveTerminator
        | ErrorKind::DuplicateVersionDirective
        | ErrorKind::UnsupportedYamlMajorVersion
        | ErrorKind::MissingYamlVersion
        | ErrorKind::MissingYamlVersionSeparator
        | ErrorKind::ExpectedDocumentStart => Cause::Directive,
        ErrorKind::UndeclaredTagHandle
        | ErrorKind::MissingTagUri
        | ErrorKind::InvalidTagTerminator
        | ErrorKind::InvalidGlobalTagCharacter
        | ErrorKind::MissingAnchorOrAliasName => Cause::TagOrAnchor,
        _ => Cause::Other,
    }
}
