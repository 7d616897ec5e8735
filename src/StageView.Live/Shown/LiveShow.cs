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
using StageView.Show.Notes;
using StageView.Show.Rigs;
using StageView.Show.Sound;
using StageView.Show.Sources;

namespace StageView.Live.Shown;

/// <summary>
/// The show beside the console: keeps rig file, listening, stage and recordings alive when one of them fails, and puts what page and window ask to
/// whom it concerns. This file follows the rig file, <c>.Network</c> listens; everything else is a class of its own.
/// </summary>
internal sealed partial class LiveShow : ILiveShow, IMomentFeed, IMarkerWitness, IDisposable
{
    private static readonly TimeSpan TryFaultEvery = TimeSpan.FromSeconds(2);
    private static readonly TimeSpan StillWriting = TimeSpan.FromMilliseconds(120);
    private readonly LiveShowOptions _options;
    private readonly TimeProvider _clock;
    private readonly NightJournal _journal;
    private readonly LevelsDesk _desk;
    private readonly FindingJournal _findingJournal;
    private readonly ContentJournal _contentJournal;
    private readonly LiveTimecode _timecode;
    private readonly SoundInput? _sound;
    private readonly NightRecorder _recorder;
    private readonly ScratchFolder _scratch = new();
    private readonly LastMinutes _last;
    private readonly RigLoadOptions _rigOptions;
    private readonly Shelf _shelf;
    private readonly SeatParts _parts;
    private readonly Seat _house;
    private readonly Lock _seating = new();
    private readonly RigEdits _edits;
    private readonly DelayMeter _delays;
    private readonly GroupTable _group;
    private readonly RefocusTable _refocus;
    private readonly NotesTable _notes;
    private readonly FileWatch _files = new();
    private readonly AutoResetEvent _changed = new(false);
    private readonly CancellationTokenSource _stop = new();
    private readonly Thread _housekeeping;
    private readonly Thread _watching;
    private readonly long _start;
    private Seat[] _seats = [];
    private volatile RigScene _rig;
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
        _contentJournal = new ContentJournal(journal);
        var ear = options.Ltc is { } ltc ? new LtcEar(ltc.Name, clock) : null;
        _timecode = new LiveTimecode(clock, journal, ear);
        _recorder = new NightRecorder(options.Recordings, clock, journal);
        _delays = new DelayMeter(_desk, options.MarkerUniverse, options.E131Port, clock, journal);
        _last = new LastMinutes(_scratch.Folder, options.Last, options.LastBytes, clock, journal);
        _shelf = new Shelf(options.RigFile, options.Looks, _recorder, _last);
        _parts = new SeatParts(_desk, _shelf, _recorder, _last, options.Looks, _delays, journal, clock, Wake,
            new ContentParts(clock, _start, _timecode.Heard, Wake, options.Inputs ? new LiveInputs(clock) : null), Make, WithNetwork);
        _house = new Seat(_parts, _rig, 1, "", _ => { });
        _seats = [_house];
        _edits = new RigEdits(new RigEditor(options.RigFile, _rigOptions), _house.Shown, () => _fault is not null, journal);
        _group = new GroupTable(options.Exchange, journal, clock, Wake);
        _refocus = new RefocusTable(options.Refocus, journal, clock, Wake);
        _notes = new NotesTable(NotesFile.For(options.RigFile), journal, clock);
        Take(_rig);
        _sound = ear is null ? null : new SoundInput(options.Ltc!, ear);
        WatchNetwork();
        LookAtNetwork();
        _housekeeping = new Thread(Housekeep) { IsBackground = true, Name = "housekeeping" };
        _housekeeping.Start();
        _watching = new Thread(KeepListening) { IsBackground = true, Name = "listening" };
        _watching.Start();
        journal.Say("rig", $"{Path.GetFileName(_rig.File)}: {Counted.Of(_rig.Fixtures.Count, "fixture")} on {Counted.Of(_patched.Count, "universe")}");
    }

    /// <summary>Told when something may look different now.</summary>
    public event Action? Changed;

    public string Name => _rig.Name;

    public string? Timecode
    {
        get
        {
            var source = _house.Shown.Source();
            var ltc = _timecode.Ltc() is { } heard ? $"{heard.Short} " : "";
            return source.Source != "network" ? source.Timecode?.Label : _timecode.Now() is { } now ? ltc + now.Label : ltc.Length > 0 ? ltc.TrimEnd() : null;
        }
    }

    public string Worst => _house.Shown.StandsIn()
        ?? (_network.Standing is { State: not "heard" } s ? $"{(s.State == "lost" ? '✕' : '○')} {s.Text}" : "");

    public RigCard Rig => _house.Rig;

    public IReadOnlyList<CameraLine> Cameras => Rig.Cameras;

    public IMoments Moments => this;

    public INotes Notes => _notes;

    /// <summary>What the window's last measured frame took to draw, ms.</summary>
    public float WindowFrameMilliseconds => _delays.WindowFrameMilliseconds;

    public string? SoundFile => _house.SoundFile;

    public ShowState State() => _house.State();

    /// <inheritdoc/>
    public ISeat Apart()
    {
        lock (_seating)
        {
            var seat = new Seat(_parts, _rig, _house.Shown.Version, "on one page alone: ", Left);
            _seats = [.. _seats, seat];
            return seat;
        }
    }

    public IReadOnlyList<(int Universe, byte[] Levels)> Levels() => _house.Levels();

    public Reply Pick(Ray ray) => _house.Pick(ray);

    public Reply Fixture(string name) => _house.Fixture(name);

    public Reply Find(string text) => _house.Find(text);

    public Vector3? PointOn(Ray ray) => _house.PointOn(ray);

    public Reply Aim(string fixture, Vector3 point) => _house.Aim(fixture, point);

    public Reply Several(IReadOnlyList<string> fixtures) => _house.Several(fixtures);

    public IReadOnlyList<AsIfLevel> AsIfLevels => _house.AsIfLevels;

    public Reply LookAsIf(IReadOnlyList<AsIfLevel> levels) => _house.LookAsIf(levels);

    public Reply LookAsIf(IReadOnlyList<string> fixtures, string attribute, double share) => _house.LookAsIf(fixtures, attribute, share);

    public Reply EndAsIf() => _house.EndAsIf();

    public string PickForWindow(Ray ray) => _house.PickForWindow(ray);

    public Reply Record(bool on) => on ? _recorder.Start() : _recorder.Stop();

    public Reply SaveLast(string name) => _last.Save(name, _options.Recordings);

    public Reply Listen() => _house.Listen();

    public Reply Open(string capture) => _house.Open(capture);

    public Reply OpenLast() => _house.OpenLast();

    public Reply Play(bool playing, double speed) => _house.Play(playing, speed);

    public Reply Seek(double seconds) => _house.Seek(seconds);

    public Reply SeekTo(string time) => _house.SeekTo(time);

    public Reply TryLook(string look) => _house.TryLook(look);

    public Reply LookThrough(bool on) => _house.LookThrough(on);

    public Reply Shelves() => _shelf.List();

    public Reply Move(string fixture, Vector3 position) => _edits.Move(fixture, position);

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

    public int Newest(ref byte[] buffer, out MomentHead head) => _house.Feed.Newest(ref buffer, out head);

    public byte[] Tables(int version) => _house.Feed.Tables(version);

    public void WaitForChange(TimeSpan most) => _changed.WaitOne(most);

    public void SeenOnPage(int level, double agoMs) => _delays.SeenOnPage(level, agoMs);

    public void ShownInWindow(ShownHead shown) => _delays.SeenInWindow(shown.Marker, shown.At, shown.FrameMilliseconds);

    public void Dispose()
    {
        _stop.Cancel();
        var ended = _housekeeping.Join(3000) & _watching.Join(3000);
        _group.Dispose();
        _sound?.Dispose();
        StopListening();
        _recorder.Dispose();
        foreach (var seat in Volatile.Read(ref _seats))
        {
            seat.Dispose();
        }

        _delays.Dispose();
        _last.Dispose();
        _scratch.Dispose();

        // One that a slow disk still holds asks for it once more; its exception would end the process.
        if (ended)
        {
            _stop.Dispose();
        }
    }

    private void Left(Seat seat)
    {
        lock (_seating)
        {
            _seats = [.. _seats.Where(s => s != seat)];
        }
    }

    /// <summary>Everything that changes by itself, as of now.</summary>
    private ShowState Make(Seat seat)
    {
        seat.LookForCautions();
        var source = seat.Shown.Source();
        var timecode = source.Source == "network" ? _timecode.Now() : source.Timecode;
        var fault = _fault is { } f ? f with { ForSeconds = Math.Round(_clock.GetElapsedTime(_faultSince).TotalSeconds) } : null;
        return new ShowState(
            seat.Shown.Version, source.Source, source.Name, Math.Round(source.Seconds, 3), timecode?.Label, timecode?.Note,
            _network,
            source.Capture is { } c ? c with { Frozen = _last.Frozen.Any(f => f.Name == c.Name) } : null, _recorder.State(), fault, seat.Cautions, seat.Scan,
            _edits.State,
            _delays.State, _group.State)
        {
            AsIf = seat.Shown.AsIf,
            Making = seat.Making,
            Last = _last.State(),
            Ltc = _timecode.Ltc(),
            Refocus = _refocus.State,
            Notes = _notes.State,
            Content = _rig.Content.Count == 0 ? null : seat.Shown.Content(),
        };
    }

    private void Wake()
    {
        _changed.Set();
        Changed?.Invoke();
    }

    /// <summary>Looks after what can come and go: the rig file and what is shown of other files.</summary>
    private void Housekeep()
    {
        while (!_stop.Token.WaitHandle.WaitOne(_options.LookAtFiles))
        {
            Try(() =>
            {
                if (_files.Changed() is { Count: > 0 } changed)
                {
                    Reload(changed);
                }
                else if (_fault is not null && _clock.GetElapsedTime(_faultTriedAt) > TryFaultEvery)
                {
                    Reload([]);
                }

                foreach (var seat in Volatile.Read(ref _seats))
                {
                    seat.FollowFiles(_stop.Token.WaitHandle);
                }

                _refocus.Follow();
                _notes.Follow();
                _contentJournal.Tell(_house.Shown.ContentTroubles());
            });
        }
    }

    /// <summary>One thing that is looked after; the next one is looked after all the same.</summary>
    private void Try(Action act)
    {
        try
        {
            act();
        }
        catch (Exception e) when (e is not OutOfMemoryException)
        {
            _journal.Say("show", $"housekeeping stumbled ({e.GetType().Name}: {e.Message}) and goes on");
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

        lock (_seating)
        {
            _rig = rig;
            foreach (var seat in _seats)
            {
                seat.Follow(rig);
            }
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
