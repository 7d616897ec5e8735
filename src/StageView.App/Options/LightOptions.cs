using System.CommandLine;
using StageView.App.Printing;
using StageView.Show;
using StageView.Show.Questions;
using StageView.Show.Sources;

namespace StageView.App.Options;

/// <summary>The options that every question about light shares.</summary>
internal sealed class LightOptions
{
    private readonly Argument<string> _rig = Verb.RigArgument();
    private readonly Option<string?> _venue = Verb.VenueOption();
    private readonly Option<string?> _preset = Verb.PresetOption();
    private readonly Option<string?> _look = new("--look") { Description = "A look file: what the console would have set.", HelpName = "FILE" };
    private readonly Option<string?> _capture =
        new("--capture") { Description = "A capture file (pcap or pcapng) with the console's sACN and Art-Net.", HelpName = "FILE" };
    private readonly Option<string?> _at =
        new("--at") { Description = "The time in the capture: " + ShowTime.Help + ". Without it: the end.", HelpName = "TIME" };
    private readonly Option<string[]> _full =
        new("--full") { Description = "Fixtures to put to full on top: names, numbers, groups or ranges. May be given several times.", HelpName = "FIXTURES" };
    private readonly Option<int?> _bounces =
        new("--bounces") { Description = "Mirrors a beam may meet, 0 to 4; the rig's own number unless given.", HelpName = "N" };

    private readonly Option<bool> _inputs = Verb.InputsOption();

    public Option<bool> Json { get; } = Verb.JsonOption();

    public Command Command(string name, string description) => new(name, description)
    {
        _rig, _venue, _preset, _look, _capture, _at, _full, _bounces, _inputs, Json,
    };

    /// <summary>Opens what was asked for; warnings go to standard error.</summary>
    public LightQuestion Open(ParseResult parse) => LightQuestion.Open(
        new LightAsked
        {
            Rig = parse.GetValue(_rig)!,
            Venue = parse.GetValue(_venue),
            Preset = parse.GetValue(_preset),
            Look = parse.GetValue(_look),
            Capture = parse.GetValue(_capture),
            At = parse.GetValue(_at),
            Full = parse.GetValue(_full) ?? [],
            Bounces = Bounces(parse),
            Inputs = parse.GetValue(_inputs),
        },
        Tell.Note);

    /// <summary>The venue file, or null.</summary>
    public string? Venue(ParseResult parse) => parse.GetValue(_venue);

    /// <summary>Where the levels come from, in words.</summary>
    public string Levels(ParseResult parse)
    {
        var full = parse.GetValue(_full) is { Length: > 0 } names ? $"at full: {string.Join(", ", names)}" : "";
        var from = parse.GetValue(_capture) is { } capture
                ? $"capture {Path.GetFileName(capture)}" + (parse.GetValue(_at) is { } at ? $" at {at}" : "")
            : parse.GetValue(_look) is { } look ? $"look {Path.GetFileName(look)}" : "";
        return from.Length == 0 && full.Length == 0 ? "none: every channel at its default"
            : from.Length > 0 && full.Length > 0 ? $"{from}; {full}" : from + full;
    }

    /// <summary>Mirrors a beam may meet, or null for the rig's own number.</summary>
    public int? Bounces(ParseResult parse) => parse.GetValue(_bounces) is not { } n || n is >= 0 and <= 4
        ? parse.GetValue(_bounces)
        : throw StopException.Wrong("--bounces takes 0 to 4");
}
