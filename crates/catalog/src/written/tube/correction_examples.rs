//! The examples that a new sheet offers for each correction: one of every method that can state it.

use serde_json::{Value, json};

/// An example of a method for the correction under a key, `temperature`, `humidity` or `pressure`; nothing where it cannot state
/// that.
pub fn example(key: &str, method: &str) -> Option<Value> {
    let [temperature, humidity, pressure] = examples(method);
    match key {
        "temperature" => temperature,
        "humidity" => humidity,
        "pressure" => pressure,
        _ => None,
    }
}

/// The examples of a method for temperature, humidity and pressure.
fn examples(method: &str) -> [Option<Value>; 3] {
    let of = |temperature, humidity, pressure| [Some(temperature), Some(humidity), Some(pressure)];
    let points = |unit: &str, rows: Value| json!({"method": method, "multiply": "reading", "columns": [unit, "factor"], "rows": rows});
    let table = |columns: Value| json!({"method": method, "replace": "reading", "columns": columns, "lines": [{"reading": "5 ppm", "becomes": [6.5, 5, 4.5]}, {"reading": "50 ppm", "becomes": [62, 50, 46]}]});
    let alone = json!({"method": method});
    match method {
        "factor table" | "curve points" => of(
            points("°C", json!([[0, 1.25], [20, 1.0], [40, 0.88]])),
            points("%RH", json!([[10, 1.05], [50, 1.0], [85, 0.9]])),
            points("hPa", json!([[900, 1.12], [1013, 1.0], [1100, 0.92]])),
        ),
        "table" => of(
            table(json!(["0 °C", "20 °C", "40 °C"])),
            table(json!(["10 %RH", "50 %RH", "85 %RH"])),
            table(json!(["900 hPa", "1013 hPa", "1100 hPa"])),
        ),
        "polynomial" => of(
            json!({"method": method, "multiply": "reading", "of": "°C", "coefficients": [1.24, -0.012]}),
            json!({"method": method, "multiply": "reading", "of": "%RH", "coefficients": [1.1, -0.002]}),
            json!({"method": method, "multiply": "reading", "of": "hPa", "coefficients": [2.013, -0.001]}),
        ),
        "factor bands" => of(
            json!({"method": method, "bands": [{"within": "below 5 °C", "says": "do not use"}, {"within": "5 to 30 °C", "says": "none needed"}, {"within": "above 30 °C", "factor": 0.9}]}),
            json!({"method": method, "bands": [{"within": "10 to 60 %RH", "factor": 1.0}, {"within": "60 to 85 %RH", "factor": 0.8}]}),
            json!({"method": method, "bands": [{"within": "900 to 1100 hPa", "says": "none needed"}], "elsewhere": "proportional"}),
        ),
        "with humidity" => [
            Some(
                json!({"method": method, "multiply": "reading", "columns": ["0 °C", "20 °C", "40 °C"], "humidities": [{"humidity": "10 %RH", "factors": [1.25, 1.05, 0.95]}, {"humidity": "50 %RH", "factors": [1.2, 1.0, 0.9]}, {"humidity": "85 %RH", "factors": [1.1, 0.9, 0.8]}]}),
            ),
            None,
            None,
        ],
        "with temperature" => [None, Some(alone), None],
        "proportional" => [None, None, Some(alone)],
        "by strokes" => {
            let tables = |unit: &str, rows: Value| json!({"method": method, "tables": [{"for_strokes": [3], "method": "none needed"}, {"for_strokes": [8], "method": "factor table", "multiply": "reading", "columns": [unit, "factor"], "rows": rows}]});
            of(
                tables("°C", json!([[0, 1.25], [20, 1.0], [40, 0.88]])),
                tables("%RH", json!([[10, 1.05], [50, 1.0], [85, 0.9]])),
                tables("hPa", json!([[900, 1.12], [1013, 1.0], [1100, 0.92]])),
            )
        }
        "as on another sheet" => {
            let other = json!({"method": method, "sheet": "brinewash-chlorine-a-r1"});
            of(other.clone(), other.clone(), other)
        }
        _ => of(alone.clone(), alone.clone(), alone),
    }
}
