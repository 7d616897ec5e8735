using System.Numerics;
using StageView.Live.Measuring;
using StageView.Live.Network;
using StageView.Live.Night;
using StageView.Live.Terms;
using StageView.Rig.Pieces;
using StageView.Show.Sources;

namespace StageView.Live.Shown;

/// <summary>What all seats share.</summary>
/// <param name="Desk">Where the network's levels come in.</param>
/// <param name="Shelf">What can be opened.</param>
/// <param name="Recorder">Whose recordings are on it.</param>
/// <param name="Last">The last minutes heard.</param>
/// <param name="Looks">Folder with looks.</param>
/// <param name="Delays">The marker.</param>
/// <param name="Journal">Is told what is shown.</param>
/// <param name="Clock">Tells the time.</param>
/// <param name="Changed">Called when something else may be seen now.</param>
/// <param name="Make">Makes what a page shows beside a seat's picture.</param>
/// <param name="Content">What all desks of content share.</param>
/// <param name="WithNetwork">Adds to a fixture's card who drives it, and what is wrong on the network at its addresses.</param>
internal sealed record SeatParts(
    LevelsDesk Desk, Shelf Shelf, NightRecorder Recorder, LastMinutes Last, string Looks, DelayMeter Delays, NightJournal Journal, TimeProvider Clock,
    Action Changed, ContentParts Content, Func<Seat, ShowState> Make, Func<ShownStage, Reply, Reply> WithNetwork);

/// <summary>A source of its own on the rig that all share, with what is asked of it.</summary>
internal sealed class Seat : ISeat
{
    private readonly SeatParts _parts;
    private readonly CuePlays _plays;
    private readonly SourceSwitch _sources;
    private readonly RigQuestions _questions;
    private readonly CautionWatch _cautions;
    private readonly CautionScan _scan;
    private readonly string _who;
    private readonly PageState _page;
    private readonly Action<Seat> _left;

    /// <param name="parts">What all seats share.</param>
    /// <param name="rig">The rig to begin with.</param>
    /// <param name="version">Its version.</param>
    /// <param name="who">Stands before what the journal is told; empty for the house.</param>
    /// <param name="left">Called when it is disposed.</param>
    public Seat(SeatParts parts, RigScene rig, int version, string who, Action<Seat> left)
    {
        (_parts, _who, _left) = (parts, who, left);
        Shown = new ShownStage(rig, version, parts.Desk, parts.Clock, parts.Shelf.Keep, parts.Content);
        _cautions = new CautionWatch(Shown, parts.Clock, parts.Journal);
        _scan = new CautionScan(parts.Journal, parts.Changed);
        Feed = new ShownFeed(Shown, parts.Desk, parts.Delays, _cautions);
        _plays = new CuePlays(Shown, parts.Journal, parts.Changed);
        _sources = new SourceSwitch(Shown, parts.Shelf, _plays, parts.Recorder, parts.Looks, parts.Journal, parts.Changed, who);
        _questions = new RigQuestions(Shown, parts.Clock);
        _page = new PageState(Shown, parts.Clock, () => parts.Make(this));
    }

    public ShownStage Shown { get; }

    public ShownFeed Feed { get; }

    public IMoments Moments => Feed;

    public RigCard Rig => _page.Rig;

    public string? SoundFile => Shown.Capture?.Sound?.File;

    /// <summary>A cue file that is being played into levels, or null.</summary>
    public MakingState? Making => _plays.Making;

    /// <summary>Of what is shown, or of the whole capture while that was looked through.</summary>
    public CautionsState Cautions => _scan.FoundIn(Shown.Capture?.Path, Shown.Rig) ?? _cautions.State;

    public ScanState? Scan => _scan.State;

    public ShowState State() => _page.Now();

    public Reply Pick(Ray ray) => _parts.WithNetwork(Shown, _questions.Pick(ray));

    public IReadOnlyList<(int Universe, byte[] Levels)> Levels() => Shown.Read(now =>
    {
        _ = now.Model.MomentAt(now.At);
        return now.Model.HeardLevels();
    });

    public Reply Fixture(string name) => _parts.WithNetwork(Shown, _questions.Fixture(name));

    public Reply Find(string text) => _questions.Find(text);

    public Vector3? PointOn(Ray ray) => _questions.PointOn(ray);

    public Reply Aim(string fixture, Vector3 point) => _questions.Aim(fixture, point);

    public Reply Several(IReadOnlyList<string> fixtures) => _questions.Several(fixtures);

    public IReadOnlyList<AsIfLevel> AsIfLevels => Shown.AsIfLevels;

    public Reply LookAsIf(IReadOnlyList<AsIfLevel> levels)
    {
        if (levels.Count == 0)
        {
            return Reply.Refuse("there is no level to look at");
        }

        var before = Shown.AsIf is null;
        if (Shown.LookAsIf(levels) is { } whyNot)
        {
            return Reply.Refuse(whyNot);
        }

        if (before)
        {
            _parts.Journal.Say("show", $"{_who}looking at levels as if: {levels[0].Channel} of {levels[0].Fixture}; nothing is sent");
        }

        _parts.Changed();
        return Reply.Done("as if: for looking only, nothing is sent");
    }

    public Reply LookAsIf(IReadOnlyList<string> fixtures, string attribute, double share)
    {
        var levels = _questions.LevelsOf(fixtures, attribute, share);
        return levels.Count > 0 ? LookAsIf(levels) : Reply.Refuse($"none of these fixtures has {OneLine.Of(attribute)} now");
    }

    public Reply EndAsIf()
    {
        if (Shown.AsIf is not null)
        {
            Shown.EndAsIf();
            _parts.Journal.Say("show", _who + "looking at levels as they come in again");
            _parts.Changed();
        }

        return Reply.Done("everything follows the levels that come in");
    }

    public string PickForWindow(Ray ray) => _questions.PickForWindow(ray);

    public Reply Listen() => _sources.Network();

    public Reply Open(string capture) => _sources.Open(capture);

    public Reply OpenLast() => _sources.OpenLast(_parts.Last);

    public Reply Play(bool playing, double speed) => _sources.Play(playing, speed);

    public Reply Seek(double seconds) => _sources.Seek(seconds);

    public Reply SeekTo(string time) => _sources.SeekTo(time);

    public Reply TryLook(string look) => _sources.TryLook(look);

    public Reply LookThrough(bool on)
    {
        if (!on)
        {
            _scan.Stop();
            return Reply.Done("");
        }

        if (Shown.Capture is not { } deck)
        {
            return Reply.Refuse("no capture is open: open one out of the recordings first");
        }

        _scan.Start(Shown.Rig, deck.Path);
        return Reply.Done("looking through the whole capture");
    }

    /// <summary>Looks for cautions, beside everything else, when it is time to.</summary>
    public void LookForCautions() => _cautions.Look();

    /// <summary>Shows the same on another rig; says so in the journal where that can't be.</summary>
    public void Follow(RigScene rig)
    {
        if (Shown.Follow(rig) is { Length: > 0 } gone)
        {
            _parts.Journal.Say("show", gone);
        }
    }

    /// <summary>Follows the files of what is shown.</summary>
    /// <param name="stop">Ends the waiting for an editor that is half-way through its save.</param>
    public void FollowFiles(WaitHandle stop)
    {
        _sources.FollowLook(stop);
        _plays.Follow();
    }

    public void Dispose()
    {
        _left(this);
        _scan.Dispose();
        Shown.Dispose();
        _plays.Dispose();
    }
}
