use stainbook_catalog::Book;
use stainbook_reading::*;
fn main() {
    let (book, findings) = Book::demo();
    for f in &findings { println!("{} {:?} {}", f.rule(), f.place(), f.message_text()); }
    for f in worked::check_worked(&book) { println!("WORKED {} {:?}", f.message_text(), f.place().path()); }
    let mut all = Vec::new();
    for (_, s) in book.surveys() { all.extend(evaluate(&book, s, &Options::default()).results); }
    for t in stainbook_catalog::embedded::demo_tables() { match survey_csv::evaluate_csv(&book, t.text, survey_csv::DecimalMark::Point, &Options::default()) { Ok(e)=>all.extend(e.results), Err(e)=>println!("{e}") } }
    for r in &all {
        println!("{} {} {} | also {} | U {} | {}", r.id, r.status.name(), r.concentration.as_ref().map_or(String::new(), |c| format!("{} ({}) {}", c.text, c.value, c.unit)), r.also_as.as_ref().map_or(String::new(), |c| format!("{} {}", c.text, c.unit)), r.uncertainty.as_ref().map_or(String::new(), |u| format!("{:.1}%", u.relative*100.0)), r.flags.iter().map(|f| f.code.as_str()).collect::<Vec<_>>().join(" "));
        if let Some(x) = &r.refusal { println!("   REFUSED {} {} -> {}", x.code, x.text, x.instead); }
        if let Some(x) = &r.repeat_with { println!("   {}", x.text); }
    }
    if std::env::args().count() > 1 { println!("{}", serde_json::to_string_pretty(&all).unwrap()); }
}
