using StageView.App.Compose;
using StageView.App.Watch;
using StageView.Rig;
using StageView.Stage;
using StageView.Wire;
using StageView.Wire.Health;
using StageView.Wire.Sockets;

namespace StageView.App.Live;

/// <summary>
/// The show beside the console: joins listening, rig file, stage, light and recordings, and keeps each alive when
/// another fails. Parts: this file holds what runs; <c>.State</c> what the page shows, <c>.Questions</c> what it asks,
/// <c>.Feed</c> what is drawn.
/// </summary>
internal sealed partial class LiveShow : ILiveShow, IMomentFeed, IMarkerWitness, IDisposable
{
    private readonly LiveShowOptions _options;
    private readonly TimeProvider _clock;
    private readonly NightJournal _journal;
    private readonly LevelsDesk _desk;
    private readonly NetworkTally _tally;
    private readonly NightRecorder _recorder;
    private readonly RigEditor _editor;
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
    private CaptureDeck? _capture;
    private int _version = 1;
    private LiveSource? _source;
    private TimeSpan _sourceOffset;
    private string? _networkTrouble;
    private int _listenTries;
    private long _triedAt;
    private RigFault? _fault;
    private long _faultSince;
    private Dictionary<int, int> _patched = [];
    private HealthWatch _health = new(PatchedUniverses.None);

    /// <exception cref="StopException">The rig file can't be read at all.</exception>
    public LiveShow(LiveShowOptions options, NightJournal journal, TimeProvider clock)
    {
        _options = options;
        _clock = clock;
        _journal = journal;
        _start = clock.GetTimestamp();
        _rig = RigFiles.Open(options.RigFile);
        _desk = new LevelsDesk(clock, Wake);
        _tally = new NetworkTally(clock, journal);
        _recorder = new NightRecorder(options.Recordings, clock, journal);
        _editor = new RigEditor(options.RigFile, RigFiles.Options);
        _live = new StageModel(_rig, keepHistory: false);
        _desk.Feed(_live);
        Take(_rig);
        TryListen();
        _housekeeping = new Thread(Housekeep) { IsBackground = true, Name = "housekeeping" };
        _housekeeping.Start();
        journal.Say("rig", $"{Path.GetFileName(_rig.File)}: {_rig.Fixtures.Count} fixtures on {_patched.Count} universes");
    }

    /// <summary>Told when something may look different now.</summary>
    public event Action? Changed;

    public string Name => _rig.Name;

    /// <summary>Local addresses listened on.</summary>
    public IReadOnlyList<string> Listening { get; private set; } = [];

    public void Dispose()
    {
        _stop.Cancel();
        _housekeeping.Join(3000);
        StopListening();
        _recorder.Dispose();
        lock (_stages)
        {
            _capture?.Dispose();
        }

        _marker?.Dispose();
        _stop.Dispose();
    }

    private void Wake()
    {
        _changed.Set();
        Changed?.Invoke();
    }

    /// <summary>Looks after what can come and go: files and sockets.</summary>
    private void Housekeep()
    {
        var lastTick = _clock.GetTimestamp();
        while (!_stop.Token.WaitHandle.WaitOne(_options.LookAtFiles))
        {
            try
            {
                var slept = _clock.GetElapsedTime(lastTick);
                lastTick = _clock.GetTimestamp();
                if (slept > TimeSpan.FromSeconds(20))
                {
                    _journal.Say("show", $"this machine was asleep or stopped for {slept.TotalSeconds:0} s; listening is begun anew");
                    StopListening();
                    _networkTrouble = "waking up";
                }

                if (_files.Changed() is { Count: > 0 } changed)
                {
                    Reload(changed);
                }

                WatchNetwork();
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
        var ok = RigLoader.TryLoad(_options.RigFile, RigFiles.Options, out var rig, out var problems);
        if (!ok || rig is null)
        {
            var lines = problems.Where(p => p.Severity == ProblemSeverity.Error).Take(20).Select(Fault).ToList();
            _faultSince = _fault is null ? _clock.GetTimestamp() : _faultSince;
            _fault = new RigFault(_options.RigFile, 0, lines);
            _journal.Say("rig", lines.Count > 0 ? $"{Path.GetFileName(lines[0].File)}:{lines[0].Line}: {lines[0].Text} (the last good rig stays)" : "the rig file can't be read; the last good rig stays");
            return;
        }

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
                _look = ReadLook(look, rig, out _);
            }

            _version++;
            _fault = null;
        }

        Take(rig);
        _source?.Follow([.. Universes.Patched(rig), new UniverseNumber(_options.MarkerUniverse)]);
        _journal.Say("rig", $"{string.Join(", ", files.Select(Path.GetFileName))} read again in {_clock.GetElapsedTime(from).TotalMilliseconds:0} ms: {rig.Fixtures.Count} fixtures");
        Wake();
    }

    /// <summary>What follows from a rig that was read well.</summary>
    private void Take(RigScene rig)
    {
        _tally.Follow(rig.Network.ArtNet);
        _health = new HealthWatch(Patches.Of(rig));
        _patched = RigChecker.Summarize(rig).Universes.ToDictionary(u => u.Universe, u => rig.Fixtures.Count(f => f.Patch.Any(p => p.Start.Universe.Value == u.Universe)));
        var folder = Path.GetDirectoryName(Path.GetFullPath(_options.RigFile))!;
        _files.Follow(rig.Fixtures.Select(f => f.Profile.File).Distinct()
            .Concat(rig.Fixtures.Select(f => f.Source.Split(':')[0]).Distinct())
            .Select(f => File.Exists(f) ? f : Path.Combine(folder, f))
            .Where(File.Exists)
            .Concat(Directory.EnumerateFiles(folder, "*.rig.jsonc"))
            .Append(_options.RigFile));
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

    private void TryListen()
    {
        _triedAt = _clock.GetTimestamp();
        var addresses = new[] { ListenOptions.Loopback }.Concat(_rig.Network.Listen).Concat(_options.Listen).Distinct().ToList();
        try
        {
            var source = LiveSource.Listen(
                _rig.Network.ToWireSettings(),
                new ListenOptions { Universes = [.. Universes.Patched(_rig), new UniverseNumber(_options.MarkerUniverse)], Addresses = addresses, E131Port = _options.E131Port, ArtNetPort = _options.ArtNetPort },
                new Later(_desk, _sourceOffset = _clock.GetElapsedTime(_start)), _clock, _stop.Token);
            source.Tap(_tally);
            source.Tap(_recorder);
            _source = source;
            Listening = addresses;
            _listenTries = 0;
            _journal.Say("network", $"listening at {string.Join(", ", addresses)}");
            foreach (var note in source.Notes)
            {
                _journal.Say("network", note);
            }

            _networkTrouble = null;
        }
        catch (ListenException e)
        {
            _listenTries++;
            _networkTrouble = e.Message;
            _journal.Say("network", $"can't listen: {e.Message}; tried again every few seconds");
        }
    }

    private void StopListening()
    {
        var source = _source;
        _source = null;
        Listening = [];
        try
        {
            source?.Dispose();
        }
        catch (ListenException e)
        {
            _journal.Say("network", e.Message);
        }
    }

    /// <summary>An interface that went and came back needs its groups joined again; a port that was taken may be free by now.</summary>
    private void WatchNetwork()
    {
        if (_source is { } source)
        {
            var there = Addresses();
            var missing = Listening.Where(a => !there.Contains(a)).ToList();
            if (missing.Count > 0 || !source.IsListening)
            {
                _journal.Say("network", missing.Count > 0 ? $"{string.Join(", ", missing)} is gone from this machine" : "listening ended");
                StopListening();
                _networkTrouble = missing.Count > 0 ? $"{string.Join(", ", missing)} is gone from this machine; waiting for it" : "listening ended; tried again";
            }
        }
        else if (_clock.GetElapsedTime(_triedAt) > TimeSpan.FromSeconds(Math.Min(10, 1 + _listenTries)))
        {
            var there = Addresses();
            if (_rig.Network.Listen.Concat(_options.Listen).All(there.Contains))
            {
                TryListen();
            }
        }
    }

    private static HashSet<string> Addresses() =>
    [
        ListenOptions.Loopback,
        .. System.Net.NetworkInformation.NetworkInterface.GetAllNetworkInterfaces()
            .Where(i => i.OperationalStatus is System.Net.NetworkInformation.OperationalStatus.Up or System.Net.NetworkInformation.OperationalStatus.Unknown)
            .SelectMany(i => i.GetIPProperties().UnicastAddresses).Select(a => a.Address.ToString()),
    ];

    /// <summary>Listening begun anew counts its time from zero; the show's goes on.</summary>
    private sealed class Later(ILevelsSink sink, TimeSpan by) : ILevelsSink
    {
        public void OnLevels(UniverseNumber universe, TimeSpan at, ReadOnlySpan<byte> levels) => sink.OnLevels(universe, at + by, levels);
    }
}
