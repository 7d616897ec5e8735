using System.Numerics;
using StageView.Light.Moments;
using StageView.Rig.Pieces;
using StageView.Show.Rigs;
using StageView.Show.Sources;

namespace StageView.Show.Questions;

/// <summary>What every question about light asks: a rig, where its levels come from, and when.</summary>
public sealed record LightAsked
{
    /// <summary>The rig file.</summary>
    public required string Rig { get; init; }

    /// <summary>A venue file laid over the rig, or null.</summary>
    public string? Venue { get; init; }

    /// <summary>A preset of the rig to start from, or null.</summary>
    public string? Preset { get; init; }

    /// <summary>A look file, or null.</summary>
    public string? Look { get; init; }

    /// <summary>A capture file, or null; excludes a look and fixtures at full.</summary>
    public string? Capture { get; init; }

    /// <summary>The time, as <see cref="ShowTime"/> reads it; null for the end.</summary>
    public string? At { get; init; }

    /// <summary>Selections of fixtures to put to full on top.</summary>
    public IReadOnlyList<string> Full { get; init; } = [];

    /// <summary>Mirrors a beam may meet, 0 to 4; the rig's own number unless given.</summary>
    public int? Bounces { get; init; }

    /// <summary>Whether the live inputs are opened that the rig names as content.</summary>
    public bool Inputs { get; init; }
}

/// <summary>A rig with its levels, opened for one or more questions about light.</summary>
public sealed class LightQuestion : IDisposable
{
    private const double MostTimes = 1e6;
    private readonly LightAsked _asked;

    private LightQuestion(LightAsked asked, RigScene rig, ShowSource source) => (_asked, Rig, Source) = (asked, rig, source);

    public RigScene Rig { get; }

    public ShowSource Source { get; }

    /// <param name="asked">What is asked.</param>
    /// <param name="tell">Told each warning of the rig file, a text each.</param>
    /// <exception cref="StopException">A file can't be used, or sources exclude each other.</exception>
    public static LightQuestion Open(LightAsked asked, Action<string>? tell = null)
    {
        var rig = RigFiles.Open(asked.Rig, asked.Venue, asked.Preset, tell);
        if (asked.Capture is not { } capture)
        {
            return new LightQuestion(asked, rig, SourceChoice.WithContent(new FullShow(rig, asked.Look, asked.Full), asked.Inputs));
        }

        return asked.Look is null && asked.Full.Count == 0
            ? new LightQuestion(asked, rig, SourceChoice.WithContent(new CaptureShow(rig, capture), asked.Inputs))
            : throw StopException.Wrong("--capture excludes --look and --full: levels come from one of them");
    }

    /// <summary>Whether something was wrong with what <see cref="Moment"/> was made from.</summary>
    public bool Doubtful { get; private set; }

    /// <summary>The moment asked for.</summary>
    /// <param name="tell">Told what was wrong with the source, and when nothing shines.</param>
    public Moment Moment(Action<string>? tell = null)
    {
        var time = _asked.At is { } at ? Source.Times([at])[0].Time : Source.End();
        Source.FeedTo(time);
        var moment = Source.Stage.MomentAt(time, default, _asked.Bounces);
        foreach (var doubt in Source.Doubts)
        {
            Doubtful = true;
            tell?.Invoke(doubt);
        }

        if (moment.Beams.IsEmpty && moment.Lasers.IsEmpty && moment.Pixels.Span.IndexOfAnyExcept(Vector3.Zero) < 0)
        {
            tell?.Invoke("nothing shines at that moment; name --look, --capture with --at, or --full FIXTURES");
        }

        return moment;
    }

    /// <summary>The one time asked for; without one the whole of the source in steps, with its end.</summary>
    /// <param name="step">s, above 0.</param>
    public IEnumerable<TimeSpan> Times(double step)
    {
        if (_asked.At is { } at)
        {
            return [Source.Times([at])[0].Time];
        }

        var end = Source.End();
        return Enumerable.Range(0, (int)Math.Min(MostTimes, Math.Ceiling((end.TotalSeconds + 1e-9) / step)) + 1)
            .Select(i => TimeSpan.FromSeconds(Math.Min(i * step, end.TotalSeconds))).Distinct();
    }

    public void Dispose() => Source.Dispose();
}
