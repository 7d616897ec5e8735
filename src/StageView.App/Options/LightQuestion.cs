using System.CommandLine;
using StageView.App.Printing;
using StageView.Light.Moments;
using StageView.Rig.Pieces;
using StageView.Show;
using StageView.Show.Rigs;
using StageView.Show.Sources;

namespace StageView.App.Options;

/// <summary>The options that every question about light shares, and the moment they mean.</summary>
internal sealed class LightQuestion
{
    private readonly Argument<string> _rig = Verb.RigArgument();
    private readonly Option<string?> _venue = Verb.VenueOption();
    private readonly Option<string?> _preset = Verb.PresetOption();
    private readonly Option<string?> _look = new("--look") { Description = "A look file: what the console would have set.", HelpName = "FILE" };
    private readonly Option<string?> _capture = new("--capture") { Description = "A capture file (pcap or pcapng) with the console's sACN and Art-Net.", HelpName = "FILE" };
    private readonly Option<string?> _at = new("--at") { Description = "The time in the capture: " + ShowTime.Help + ". Without it: the end.", HelpName = "TIME" };
    private readonly Option<string[]> _full = new("--full") { Description = "Fixtures to put to full on top: names, numbers, groups or ranges. May be given several times.", HelpName = "FIXTURES" };
    private readonly Option<int?> _bounces = new("--bounces") { Description = "Mirrors a beam may meet, 0 to 4; the rig's own number unless given.", HelpName = "N" };

    public Option<bool> Json { get; } = Verb.JsonOption();

    public Command Command(string name, string description) => new(name, description) { _rig, _venue, _preset, _look, _capture, _at, _full, _bounces, Json };

    public RigScene Rig(ParseResult parse) => RigFiles.Open(parse.GetValue(_rig)!, parse.GetValue(_venue), parse.GetValue(_preset), tell: Tell.Note);

    public string? Capture(ParseResult parse) => parse.GetValue(_capture);

    public int? Bounces(ParseResult parse) => parse.GetValue(_bounces) is { } n
        ? n is >= 0 and <= 4 ? n : throw StopException.Wrong("--bounces takes 0 to 4")
        : null;

    public ShowSource Source(ParseResult parse, RigScene rig)
    {
        var (look, capture, full) = (parse.GetValue(_look), parse.GetValue(_capture), parse.GetValue(_full) ?? []);
        if (capture is null)
        {
            return new FullShow(rig, look, full);
        }

        return look is null && full.Length == 0
            ? new CaptureShow(rig, capture)
            : throw StopException.Wrong("--capture excludes --look and --full: levels come from one of them");
    }

    /// <summary>The one time asked for, or with a capture and no time the whole of it in steps.</summary>
    public IEnumerable<TimeSpan> Times(ParseResult parse, ShowSource source, double step)
    {
        if (parse.GetValue(_at) is { } at)
        {
            return [source.Times([at])[0].Time];
        }

        var end = source.End();
        return Enumerable.Range(0, (int)Math.Min(1e6, Math.Ceiling((end.TotalSeconds + 1e-9) / step)) + 1)
            .Select(i => TimeSpan.FromSeconds(Math.Min(i * step, end.TotalSeconds))).Distinct();
    }

    /// <summary>The moment asked for; says so on standard error when nothing shines in it.</summary>
    public Moment Moment(ParseResult parse, ShowSource source)
    {
        var time = parse.GetValue(_at) is { } at ? source.Times([at])[0].Time : source.End();
        source.FeedTo(time);
        var moment = source.Stage.MomentAt(time, default, Bounces(parse));
        if (source.Problem is { } problem)
        {
            Console.Error.WriteLine("stageview: " + problem);
        }

        if (moment.Beams.IsEmpty && moment.Lasers.IsEmpty && moment.Pixels.Span.IndexOfAnyExcept(System.Numerics.Vector3.Zero) < 0)
        {
            Console.Error.WriteLine("stageview: nothing shines at that moment; name --look, --capture with --at, or --full FIXTURES");
        }

        return moment;
    }
}
