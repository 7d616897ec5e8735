using System.Numerics;
using StageView.Ground.Words;
using StageView.Live.Measuring;
using StageView.Live.Network;
using StageView.Live.Night;
using StageView.Live.Pictures;
using StageView.Live.RigFile;
using StageView.Live.Terms;
using StageView.Rig.Assets;
using StageView.Rig.Patching;
using StageView.Rig.Pieces;
using StageView.Rig.Scene;
using StageView.Rig.Source;
using StageView.Show;
using StageView.Show.Exchange;
using StageView.Show.Rigs;
using StageView.Show.Sources;

namespace StageView.Live.Shown;

/// <summary>
/// The show beside the console: keeps rig file, listening, stage and recordings alive when one of them fails, and puts what page and window ask to
/// whom it concerns. This file follows the rig file, <c>.Network</c> listens; everything else is a class of its own.
/// </summary>
internal sealed partial class LiveShow : ILiveShow, IMomentFeed, IMarkerWitness, IDisposable
{
    private static readonly TimeSpan LookEvery = TimeSpan.FromMilliseconds(500);
    private static readonly TimeSpan TryFaultEvery = TimeSpan.FromSeconds(2);
    private static readonly TimeSpan StillWriting = TimeSpan.FromMilliseconds(120);
    private readonly LiveShowOptions _options;
    private readonly TimeProvider _clock;
    private readonly NightJournal _journal;
    private readonly LevelsDesk _desk;
    private readonly FindingJournal _findingJournal;
    private readonly LiveTimecode _timecode;
    private readonly NightRecorder _recorder;
    private readonly RigLoadOptions _rigOptions;
    private readonly ShownStage _shown;
    private readonly ShownFeed _feed;
    private readonly Shelf _shelf;
    private readonly CuePlays _plays;
    private readonly SourceSwitch _sources;
    private readonly RigQuestions _questions;
    private readonly RigEdits _edits;
    private readonly DelayMeter _delays;
    private readonly CautionWatch _cautions;
    private readonly CautionScan _scan;
    private readonly GroupTable _group;
    private readonly RefocusTable _refocus;
    private readonly PageState _page;
    private readonly FileWatch _files = new();
    private readonly AutoResetEvent _changed = new(false);
    private readonly CancellationTokenSource _stop = new();
    private readonly Thread _housekeeping;
    private readonly long _start;
    private RigScene _rig;
    private volatile RigFault? _fault;
    private long _faultSince;
    private long _faultTriedAt;
    private Dictionary<int, int> _patched = [];
    private volatile PatchLookup _patch;

    /// <exception cref="StopException">The rig file can't be read at all.</exception>
    public LiveShow(LiveShowOptions options, NightJournal journal, TimeProvider clock)
    {
        _options = options;
        _clock = clock;
        _journal = journal;
        _start = clock.GetTimestamp();
        if (options.Exchange is { } exchange)
        {
            new Drawing(exchange.RigFile, exchange.Venue, exchange.Drawing).Begin();
        }

        _rigOptions = RigFiles.Options with { Venue = options.Venue };
        _rig = RigFiles.Open(options.RigFile, options.Venue);
        _patch = new PatchLookup(_rig);
        _desk = new LevelsDesk(clock, Wake);
        _findingJournal = new FindingJournal(clock, journal);
        _timecode = new LiveTimecode(clock, journal);
        _recorder = new NightRecorder(options.Recordings, clock, journal);
        _delays = new DelayMeter(_desk, options.MarkerUniverse, options.E131Port, clock, journal);
        _shelf = new Shelf(options.RigFile, options.Looks, _recorder);
        _shown = new ShownStage(_rig, _desk, clock, _shelf.Keep);
        _cautions = new CautionWatch(_shown, clock, journal);
        _scan = new CautionScan(journal, Wake);
        _feed = new ShownFeed(_shown, _desk, _delays, _cautions);
        _plays = new CuePlays(_shown, journal, Wake);
        _sources = new SourceSwitch(_shown, _shelf, _plays, _recorder, options.Looks, journal, Wake);
        _questions = new RigQuestions(_shown, clock);
        _edits = new RigEdits(new RigEditor(options.RigFile, _rigOptions), _shown, () => _fault is not null, journal);
        _page = new PageState(_shown, clock, Make);
        _group = new GroupTable(options.Exchange, journal, clock, Wake);
        _refocus = new RefocusTable(options.Refocus, journal, clock, Wake);
        Take(_rig);
        WatchNetwork();
        LookAtNetwork();
        _housekeeping = new Thread(Housekeep) { IsBackground = true, Name = "housekeeping" };
        _housekeeping.Start();
        journal.Say("rig", $"{Path.GetFileName(_rig.File)}: {Counted.Of(_rig.Fixtures.Count, "fixture")} on {Counted.Of(_patched.Count, "universe")}");
    }

    /// <summary>Told when something may look different now.</summary>
    public event Action? Changed;

    public string Name => _rig.Name;

    public string Worst => _shown.StandsIn() ?? (_network.Standing is { State: not "heard" } s ? $"{(s.State == "lost" ? '✕' : '○')} {s.Text}" : "");

    public RigCard Rig => _page.Rig;

    public IReadOnlyList<CameraLine> Cameras => Rig.Cameras;

    /// <summary>What the window's last measured frame took to draw, ms.</summary>
    public float WindowFrameMilliseconds => _delays.WindowFrameMilliseconds;

    public ShowState State() => _page.Now();

    public Reply Pick(Ray ray) => WithTroubles(_questions.Pick(ray));

    public Reply Fixture(string name) => WithTroubles(_questions.Fixture(name));

    public Reply Find(string text) => _questions.Find(text);

    public Vector3? PointOn(Ray ray) => _questions.PointOn(ray);

    public Reply Aim(string fixture, Vector3 point) => _questions.Aim(fixture, point);

    public string PickForWindow(Ray ray) => _questions.PickForWindow(ray);

    public Reply Record(bool on) => on ? _recorder.Start() : _recorder.Stop();

    public Reply Listen() => _sources.Network();

    public Reply Open(string capture) => _sources.Open(capture);

    public string? SoundFile => _shown.Capture?.Sound?.File;

    public Reply Play(bool playing, double speed) => _sources.Play(playing, speed);

    public Reply Seek(double seconds) => _sources.Seek(seconds);

    public Reply SeekTo(string time) => _sources.SeekTo(time);

    public Reply TryLook(string look) => _sources.TryLook(look);

    public Reply Shelves() => _shelf.List();

    public Reply Move(string fixture, Vector3 position) => _edits.Move(fixture, position);

    public Reply LookThrough(bool on)
    {
        if (!on)
        {
            _scan.Stop();
            return Reply.Done("");
        }

        if (_shown.Capture is not { } deck)
        {
            return Reply.Refuse("no capture is open: open one out of the recordings first");
        }

        _scan.Start(_shown.Rig, deck.Path);
        return Reply.Done("looking through the whole capture");
    }

    public Reply LookAtCommit(string commit) => _group.Look(commit);

    public Reply TakeCommit(string commit) => _group.Take(commit);

    public Reply CommitRig(string words) => _group.Commit(words);

    public Reply RefocusRows(int from) => _refocus.Rows(from);

    public Reply RefocusTicks(int since) => _refocus.Ticks(since);

    public Reply TickFocused(int version, int? row, string? fixture, bool on, string by) => _refocus.Tick(version, row, fixture, on, by);

    public Reply Undo() => _edits.Undo();

    public Reply Redo() => _edits.Redo();

    public Reply Measure(bool on)
    {
        var answer = _delays.Measure(on);
        Wake();
        return answer;
    }

    public int Newest(ref byte[] buffer, out MomentHead head) => _feed.Newest(ref buffer, out head);

    public byte[] Tables(int version) => _feed.Tables(version);

    public void WaitForChange(TimeSpan most) => _changed.WaitOne(most);

    public void SeenOnPage(int level, double agoMs) => _delays.SeenOnPage(level, agoMs);

    public void ShownInWindow(ShownHead shown) => _delays.SeenInWindow(shown.Marker, shown.At, shown.FrameMilliseconds);

    public void Dispose()
    {
        _stop.Cancel();
        var ended = _housekeeping.Join(3000);
        _group.Dispose();
        StopListening();
        _recorder.Dispose();
        _scan.Dispose();
        _shown.Dispose();
        _plays.Dispose();
        _delays.Dispose();

        // One that a slow disk still holds asks for it once more; its exception would end the process.
        if (ended)
        {
            _stop.Dispose();
        }
    }

    /// <summary>Everything that changes by itself, as of now.</summary>
    private ShowState Make()
    {
        _cautions.Look();
        var source = _shown.Source();
        var timecode = source.Source == "network" ? _timecode.Now() : source.Timecode;
        var fault = _fault is { } f ? f with { ForSeconds = Math.Round(_clock.GetElapsedTime(_faultSince).TotalSeconds) } : null;
        return new ShowState(
            _shown.Version, source.Source, source.Name, Math.Round(source.Seconds, 3), timecode?.Label, timecode?.Note,
            _network,
            source.Capture, _recorder.State(), fault, _scan.FoundIn(_shown.Capture?.Path, _shown.Rig) ?? _cautions.State, _scan.State,
            _edits.State,
            _delays.State, _group.State)
        {
            Making = _plays.Making,
            Refocus = _refocus.State,
        };
    }

    private void Wake()
    {
        _changed.Set();
        Changed?.Invoke();
    }

    /// <summary>Looks after what can come and go: files and sockets.</summary>
    private void Housekeep()
    {
        var sleep = new SleepWatch(_clock);
        var looked = 0L;
        while (!_stop.Token.WaitHandle.WaitOne(_options.LookAtFiles))
        {
            try
            {
                if (sleep.Look(out var asleep) is { } pause)
                {
                    _journal.Say("show", asleep ? pause + "; listening is begun anew" : pause);
                    if (asleep)
                    {
                        StopListening();
                    }
                }

                if (_files.Changed() is { Count: > 0 } changed)
                {
                    Reload(changed);
                }
                else if (_fault is not null && _clock.GetElapsedTime(_faultTriedAt) > TryFaultEvery)
                {
                    Reload([]);
                }

                _sources.FollowLook(_stop.Token.WaitHandle);
                _plays.Follow();
                _refocus.Follow();
                if (looked == 0 || _clock.GetElapsedTime(looked) > LookEvery)
                {
                    looked = _clock.GetTimestamp();
                    WatchNetwork();
                    LookAtNetwork();
                }
            }
            catch (Exception e) when (e is not OutOfMemoryException)
            {
                _journal.Say("show", $"housekeeping stumbled ({e.GetType().Name}: {e.Message}) and goes on");
            }
        }
    }

    private void Reload(IReadOnlyList<string> files)
    {
        var from = _clock.GetTimestamp();
        RigScene? rig;
        IReadOnlyList<RigProblem> problems;
        IReadOnlyList<SourceFile> met;
        while (!RigLoader.TryLoad(_options.RigFile, _rigOptions, out rig, out problems, out met) || rig is null)
        {
            // An editor may be half-way through its save: what is still being written is no fault yet.
            if (_fault is null && !_stop.Token.WaitHandle.WaitOne(StillWriting) && _files.Changed() is { Count: > 0 })
            {
                continue;
            }

            Fail(problems);
            _files.Follow(_rig.Files.Concat(met).Select(f => f.FullPath));
            return;
        }

        _rig = rig;
        if (_shown.Follow(rig) is { Length: > 0 } gone)
        {
            _journal.Say("show", gone);
        }

        _fault = null;
        Take(rig);
        FollowRig(rig);
        _refocus.RigRead();
        _journal.Say("rig",
            $"{(files.Count == 0 ? "the rig file" : string.Join(", ", files.Select(Path.GetFileName)))} read again in "
            + $"{_clock.GetElapsedTime(from).TotalMilliseconds:0} ms: {Counted.Of(rig.Fixtures.Count, "fixture")}");
        Wake();
    }

    private void Fail(IReadOnlyList<RigProblem> problems)
    {
        var lines = problems.Where(p => p.Severity == ProblemSeverity.Error).Take(20).Select(Fault).ToList();
        var first = lines.Count > 0
            ? $"{Path.GetFileName(lines[0].File)}{(lines[0].Line > 0 ? $":{lines[0].Line}" : "")}: {lines[0].Text}" : "the rig file can't be read";
        if (_fault is null)
        {
            _faultSince = _clock.GetTimestamp();
        }

        _faultTriedAt = _clock.GetTimestamp();
        if (_fault is null || !_fault.Lines.SequenceEqual(lines))
        {
            _journal.Say("rig", first + " (the last good rig stays)");
        }

        _fault = new RigFault(_options.RigFile, 0, lines);
    }

    /// <summary>What follows from a rig that was read well.</summary>
    private void Take(RigScene rig)
    {
        var patch = _patch = new PatchLookup(rig);
        _patched = patch.Universes.ToDictionary(u => u, u => patch.In(u).Count);
        _files.Follow(rig.Files.Select(f => f.FullPath));
    }

    private static FaultLine Fault(RigProblem p)
    {
        var excerpt = "";
        try
        {
            excerpt = p.Line > 0 ? File.ReadLines(p.File).ElementAtOrDefault(p.Line - 1)?.Trim() ?? "" : "";
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            // The file is gone; the problem says so itself.
        }

        return new FaultLine(p.File, p.Line, p.Path, p.Text, excerpt.Length > 300 ? excerpt[..300] + "…" : excerpt);
    }
}
