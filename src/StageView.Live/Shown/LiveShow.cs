using System.Collections.Concurrent;
using StageView.Live.Network;
using StageView.Live.Night;
using StageView.Live.Pictures;
using StageView.Live.RigFile;
using StageView.Rig.Assets;
using StageView.Rig.Checks;
using StageView.Rig.Pieces;
using StageView.Rig.Scene;
using StageView.Rig.Source;
using StageView.Show;
using StageView.Show.Rigs;
using StageView.Stage;

namespace StageView.Live.Shown;

/// <summary>
/// The show beside the console: joins listening, rig file, stage, light and recordings, and keeps each alive when
/// another fails. Parts: this file holds what runs; <c>.Network</c> listening, <c>.State</c> what the page shows,
/// <c>.Questions</c> what it asks, <c>.Feed</c> what is drawn.
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
    private readonly NetworkTally _tally;
    private readonly FindingJournal _findingJournal;
    private readonly LiveTimecode _timecode;
    private readonly NightRecorder _recorder;
    private readonly RigEditor _editor;
    private readonly RigLoadOptions _rigOptions;
    private readonly FileWatch _files = new();
    private readonly AutoResetEvent _changed = new(false);
    private readonly CancellationTokenSource _stop = new();
    private readonly Thread _housekeeping;
    private readonly long _start;

    // Guards the stages: a moment made from one is valid until two further ones were made, so all are made in here.
    private readonly Lock _stages = new();
    private RigScene _rig;
    private StageModel _live;
    private StageModel? _look;
    private string _lookName = "";
    private string? _lookFile;
    private FileWatch? _lookWatch;
    private CaptureDeck? _capture;
    private readonly ConcurrentDictionary<string, double> _lengths = new(StringComparer.Ordinal);
    private int _version = 1;
    private RigFault? _fault;
    private long _faultSince;
    private long _faultTriedAt;
    private Dictionary<int, int> _patched = [];

    /// <exception cref="StopException">The rig file can't be read at all.</exception>
    public LiveShow(LiveShowOptions options, NightJournal journal, TimeProvider clock)
    {
        _options = options;
        _clock = clock;
        _journal = journal;
        _start = clock.GetTimestamp();
        _rigOptions = RigFiles.Options with { Venue = options.Venue };
        _rig = RigFiles.Open(options.RigFile, options.Venue);
        _desk = new LevelsDesk(clock, Wake);
        _tally = new NetworkTally(clock, journal, options.MarkerUniverse);
        _findingJournal = new FindingJournal(clock, journal);
        _timecode = new LiveTimecode(clock, journal);
        _recorder = new NightRecorder(options.Recordings, clock, journal);
        _editor = new RigEditor(options.RigFile, _rigOptions);
        _live = new StageModel(_rig, keepHistory: false);
        _desk.Feed(_live);
        Take(_rig);
        WatchNetwork();
        LookAtNetwork();
        _housekeeping = new Thread(Housekeep) { IsBackground = true, Name = "housekeeping" };
        _housekeeping.Start();
        journal.Say("rig", $"{Path.GetFileName(_rig.File)}: {_rig.Fixtures.Count} fixtures on {_patched.Count} universes");
    }

    /// <summary>Told when something may look different now.</summary>
    public event Action? Changed;

    public string Name => _rig.Name;

    public void Dispose()
    {
        _stop.Cancel();
        var ended = _housekeeping.Join(3000);
        StopListening();
        _recorder.Dispose();
        lock (_stages)
        {
            _capture?.Dispose();
        }

        _marker?.Dispose();

        // One that a slow disk still holds asks for it once more; its exception would end the process.
        if (ended)
        {
            _stop.Dispose();
        }
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

                FollowLook();
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
        while (!RigLoader.TryLoad(_options.RigFile, _rigOptions, out rig, out problems) || rig is null)
        {
            // An editor may be half-way through its save: what is still being written is no fault yet.
            if (_fault is null && !_stop.Token.WaitHandle.WaitOne(StillWriting) && _files.Changed() is { Count: > 0 })
            {
                continue;
            }

            Fail(problems);
            return;
        }

        var lookGone = "";
        lock (_stages)
        {
            _rig = rig;
            _live = new StageModel(rig, keepHistory: false);
            _desk.Feed(_live);
            if (_capture is { } old)
            {
                var state = old.State();
                _capture = new CaptureDeck(rig, old.Path, _clock, state.Position);
                _capture.Play(state.Playing, state.Speed);
                old.Dispose();
            }

            if (_lookFile is { } look)
            {
                _look = ReadLook(look, rig, out var why);
                if (_look is null)
                {
                    lookGone = $"the look {_lookName} is no longer tried, the network is shown: {why}";
                    Leave();
                }
            }

            _version++;
            _fault = null;
        }

        if (lookGone.Length > 0)
        {
            _journal.Say("show", lookGone);
        }

        Take(rig);
        FollowRig(rig);
        _journal.Say("rig", $"{(files.Count == 0 ? "the rig file" : string.Join(", ", files.Select(Path.GetFileName)))} read again in {_clock.GetElapsedTime(from).TotalMilliseconds:0} ms: {rig.Fixtures.Count} fixtures");
        Wake();
    }

    private void Fail(IReadOnlyList<RigProblem> problems)
    {
        var lines = problems.Where(p => p.Severity == ProblemSeverity.Error).Take(20).Select(Fault).ToList();
        var first = lines.Count > 0 ? $"{Path.GetFileName(lines[0].File)}{(lines[0].Line > 0 ? $":{lines[0].Line}" : "")}: {lines[0].Text}" : "the rig file can't be read";
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
        _tally.Follow(rig.Network.ArtNet);
        _patched = RigChecker.Summarize(rig).Universes.ToDictionary(u => u.Universe, u => rig.Fixtures.Count(f => f.Patch.Any(p => p.Start.Universe.Value == u.Universe)));
        var folder = Path.GetDirectoryName(Path.GetFullPath(_options.RigFile))!;
        _files.Follow(rig.Fixtures.Select(f => f.Profile.File).Distinct()
            .Concat(rig.Fixtures.Select(f => f.Source.Split(':')[0]).Distinct())
            .Select(f => File.Exists(f) ? f : Path.Combine(folder, f))
            .Where(File.Exists)
            .Concat(Directory.Exists(folder) ? Directory.EnumerateFiles(folder, "*.rig.jsonc") : [])
            .Append(_options.RigFile)
            .Concat(_options.Venue is { } venue ? [venue] : Array.Empty<string>()));
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
