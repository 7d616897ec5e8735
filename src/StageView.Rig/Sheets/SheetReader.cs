using System.Globalization;
using StageView.Light.Photometry;
using StageView.Rig.Profiles;

namespace StageView.Rig.Sheets;

/// <summary>From answers, as people write them, to a data sheet; what isn't answered is assumed, and says so.</summary>
public sealed class SheetReader
{
    private const float SoftRatio = 1.6f;
    private const float HardRatio = 1.12f;

    private const string OfFile = "the photometric file";

    private readonly Dictionary<string, Stated<string>> _answers = [];
    private (float Beam, float Field)? _measured;
    private readonly string _sheet;
    private string _why = "";

    /// <param name="sheet">What the values are from where an answer names no place, such as "data sheet, 2nd edition".</param>
    public SheetReader(string sheet) => _sheet = sheet.Trim().Length > 0 ? sheet.Trim() : "data sheet";

    /// <summary>Takes an answer; what stands behind an @ is where it was found, such as a page.</summary>
    /// <param name="key">One of <see cref="SheetQuestion.All"/>.</param>
    /// <param name="text">Such as <c>12000 @ p. 3</c>.</param>
    /// <param name="why">Why it can't be used.</param>
    public bool TryAnswer(string key, string text, out string why)
    {
        ArgumentNullException.ThrowIfNull(text);
        var at = text.LastIndexOf('@');
        var value = (at < 0 ? text : text[..at]).Trim();
        var place = at < 0 ? "" : text[(at + 1)..].Trim();
        var answer = new Stated<string>(value, place.Length == 0 ? _sheet : $"{_sheet}, {place}");
        _why = "";
        _ = key switch
        {
            "lumens" => Number(answer, 1, 1e7f, "lm", "lumens") is not null,
            "kelvin" => Number(answer, 1000, 20_000, "K", "kelvin") is not null,
            "lens" => Number(answer, 1, 2000, "mm") is not null,
            "weight" => Number(answer, .01f, 5000, "kg") is not null,
            "power" => Number(answer, .1f, 1e6f, "W") is not null,
            "beam" or "field" => Angles(answer) is not null,
            "pan" or "tilt" => Turn(answer) is not null,
            "pan-speed" or "tilt-speed" => Speed(answer, 540) is not null,
            "edge" => Soft(answer) is not null,
            "emitters" => Emitters(answer) is not null,
            "channels" => ChannelWords.TryRead(value, Emitters(_answers.GetValueOrDefault("emitters")) ?? [], out _, out _why),
            "photometry" => Open(value),
            _ => throw new ArgumentException($"no question \"{key}\"", nameof(key)),
        };
        why = _why;
        if (why.Length == 0)
        {
            _answers[key] = answer;
        }

        return why.Length == 0;
    }

    public bool Has(string key) => _answers.ContainsKey(key);

    /// <summary>The data sheet, once all is answered that will be.</summary>
    /// <param name="name">The fixture's name.</param>
    /// <param name="why">What is missing.</param>
    public DataSheet? Read(string name, out string why)
    {
        why = !_answers.ContainsKey("lumens") && !_answers.ContainsKey("photometry")
            ? "how much light it gives is needed: lumens, or a photometric file" : "";
        if (why.Length > 0)
        {
            return null;
        }

        var soft = Said("edge", a => Soft(a)) ?? Sources.Assume(false);
        var ratio = soft.Value ? SoftRatio : HardRatio;
        var (beam, field) = (Said("beam", Angles), Said("field", Angles));
        if (_measured is { } m)
        {
            beam ??= new((m.Beam, m.Beam), OfFile);
            field ??= beam.Source == OfFile ? new((m.Field, m.Field), OfFile) : null;
        }

        beam ??= field is { } f ? Sources.Assume((f.Value.From / ratio, f.Value.To / ratio), $"the field angle through {Short(ratio)}")
            : Sources.Assume((25f, 25f));
        field ??= Sources.Assume((Math.Min(179, beam.Value.From * ratio), Math.Min(179, beam.Value.To * ratio)), $"the beam angle times {Short(ratio)}");
        if (field.Value.From < beam.Value.From || field.Value.To < beam.Value.To)
        {
            why = "the field angle (a tenth of the intensity) can't be smaller than the beam angle (half of it)";
            return null;
        }

        var (pan, tilt) = (Said("pan", Turn), Said("tilt", Turn));
        var emitters = Said("emitters", Emitters) ?? FromChannels();
        var sheet = new DataSheet
        {
            Name = name,
            Photometry = _answers.GetValueOrDefault("photometry"),
            Lumens = Said("lumens", a => Number(a, 1, 1e7f, "lm", "lumens")),
            IsSoft = soft,
            Beam = beam,
            Field = field,
            Kelvin = Said("kelvin", a => Number(a, 1000, 20_000, "K", "kelvin")) ?? Sources.Assume(6000f),
            LensRadius = (Said("lens", a => Number(a, 1, 2000, "mm")) is { } lens ? lens.With(lens.Value / 2000) : Sources.Assume(.05f)),
            Pan = pan is { Value: var p } && p.From != p.To ? pan : null,
            Tilt = tilt is { Value: var t } && t.From != t.To ? tilt : null,
            PanSpeed = Said("pan-speed", a => Speed(a, Span(pan))) ?? Sources.Assume(180f),
            TiltSpeed = Said("tilt-speed", a => Speed(a, Span(tilt))) ?? Sources.Assume(150f),
            Emitters = emitters,
            Weight = Said("weight", a => Number(a, .01f, 5000, "kg")),
            Power = Said("power", a => Number(a, .1f, 1e6f, "W")),
            Channels = new Stated<string>("", ""),
        };
        return sheet with { Channels = _answers.GetValueOrDefault("channels") ?? Sources.Assume(Usual(sheet), "the sheet's own list is not known") };
    }

    private bool Open(string path)
    {
        if (PhotometryReader.Open(path, out var why) is { } file)
        {
            float Full(float share) => MathF.Round(2 * Light.Geometry.Angles.Degrees(WebAngles.WidestAt(file.Web, share)), 2);
            _measured = (Full(.5f), Full(.1f));
            return true;
        }

        _why = $"{path}: {why}";
        return false;
    }

    private static float Span(Stated<(float From, float To)>? range) => range is null ? 0 : range.Value.To - range.Value.From;

    private static string Short(float v) => v.ToString("0.##", CultureInfo.InvariantCulture);

    /// <summary>One channel for each thing that it can do.</summary>
    private static string Usual(DataSheet sheet)
    {
        var words = new List<string>();
        words.AddRange(sheet.Pan is null ? [] : ["pan", "pan fine"]);
        words.AddRange(sheet.Tilt is null ? [] : ["tilt", "tilt fine"]);
        words.Add("dimmer");
        words.AddRange(sheet.Zooms ? ["zoom"] : []);
        words.AddRange(sheet.Emitters.Value.Select(e => e.ToLowerInvariant()));
        return string.Join(", ", words);
    }

    /// <summary>A sheet that lists channels of colours has emitters of these colours.</summary>
    private Stated<IReadOnlyList<string>> FromChannels()
    {
        if (!_answers.TryGetValue("channels", out var channels) || !ChannelWords.TryRead(channels.Value, [], out var read, out _))
        {
            return Sources.Assume<IReadOnlyList<string>>([]);
        }

        var names = TypicalEmitters.Names.Where(n => read.Exists(c => c.Attribute == "ColorAdd_" + n.Ending)).Select(n => n.Name).ToList();
        return new Stated<IReadOnlyList<string>>(names, "those that the list of channels names");
    }

    private Stated<T>? Said<T>(string key, Func<Stated<string>, T?> parse)
        where T : struct =>
        _answers.TryGetValue(key, out var a) && parse(a) is { } v ? a.With(v) : null;

    private Stated<IReadOnlyList<string>>? Said(string key, Func<Stated<string>?, IReadOnlyList<string>?> parse) =>
        _answers.TryGetValue(key, out var a) && parse(a) is { } v ? a.With(v) : null;

    private float? Number(Stated<string> answer, float least, float most, params string[] units)
    {
        if (!SheetNumbers.TryRead(answer.Value, out var from, out var to, out var unit) || from != to
            || (unit.Length > 0 && !units.Contains(unit, StringComparer.OrdinalIgnoreCase)))
        {
            _why = $"\"{answer.Value}\" is no number in {units[0]}";
            return null;
        }

        return Within(from, least, most, units[0]);
    }

    private float? Within(float v, float least, float most, string unit)
    {
        if (v >= least && v <= most)
        {
            return v;
        }

        _why = string.Create(CultureInfo.InvariantCulture, $"{v} {unit} can't be: {least} to {most}");
        return null;
    }

    private (float From, float To)? Angles(Stated<string> answer)
    {
        if (!SheetNumbers.TryRead(answer.Value, out var from, out var to, out var unit) || !IsDegree(unit))
        {
            _why = $"\"{answer.Value}\" is no angle in degrees, and no range of two";
            return null;
        }

        return Within(Math.Min(from, to), .05f, 179, "deg") is not null && Within(Math.Max(from, to), .05f, 179, "deg") is not null
            ? (Math.Min(from, to), Math.Max(from, to)) : null;
    }

    private (float From, float To)? Turn(Stated<string> answer)
    {
        if (!SheetNumbers.TryRead(answer.Value, out var from, out var to, out var unit) || !IsDegree(unit) || (from == to && from < 0)
            || MathF.Abs(to - from) > 3600)
        {
            _why = $"\"{answer.Value}\" is no range in degrees, such as 540 or -270..270";
            return null;
        }

        return from == to ? (-from / 2, from / 2) : (Math.Min(from, to), Math.Max(from, to));
    }

    private float? Speed(Stated<string> answer, float span)
    {
        if (!SheetNumbers.TryRead(answer.Value, out var v, out var to, out var unit) || v != to || v <= 0)
        {
            _why = $"\"{answer.Value}\" is no speed: degrees a second, or seconds for the whole range (2.8 s)";
            return null;
        }

        if (unit is "s" or "sec" or "seconds")
        {
            // The time for the whole range of a move that speeds up and brakes within half a second each: v = range / (T - .5).
            return span <= 0 ? 180 : Within(span / Math.Max(.1f, v - SheetWriter.RampSeconds), 1, 2000, "deg/s");
        }

        if (unit.Length > 0 && unit is not ("deg/s" or "°/s"))
        {
            _why = $"\"{answer.Value}\" is no speed: degrees a second, or seconds for the whole range (2.8 s)";
            return null;
        }

        return Within(v, 1, 2000, "deg/s");
    }

    private bool? Soft(Stated<string> answer)
    {
        bool? soft = answer.Value.ToLowerInvariant() switch { "hard" or "spot" => false, "soft" or "wash" => true, _ => null };
        _why = soft is null ? $"\"{answer.Value}\": hard or soft" : "";
        return soft;
    }

    private IReadOnlyList<string>? Emitters(Stated<string>? answer)
    {
        if (answer is null)
        {
            return null;
        }

        var names = new List<string>();
        foreach (var word in answer.Value.Split(',', StringSplitOptions.TrimEntries | StringSplitOptions.RemoveEmptyEntries))
        {
            var known = TypicalEmitters.Names.FirstOrDefault(n => n.Name.Equals(word, StringComparison.OrdinalIgnoreCase)).Name;
            if (known is null || names.Contains(known))
            {
                var all = string.Join(", ", TypicalEmitters.Names.Select(n => n.Name.ToLowerInvariant()));
                _why = known is null ? $"no emitter \"{word}\" is known; known: {all}"
                    : $"{word} is named twice";
                return null;
            }

            names.Add(known);
        }

        return names;
    }

    private static bool IsDegree(string unit) => unit is "" or "°" or "deg" or "degrees";
}
