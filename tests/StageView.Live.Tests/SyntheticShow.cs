using System.Numerics;
using StageView.Live.Terms;
using StageView.Show.Notes;

namespace StageView.Live.Tests;

/// <summary>A show of invented fixtures whose one level the test turns; the server and the page are tried against it.</summary>
internal sealed class SyntheticShow : ILiveShow
{
    private readonly Dictionary<string, float[]> _moved = [];
    private volatile int _version = 1;
    private string _look = "";

    public volatile int Level;

    public string Source { get; private set; } = "network";

    public bool Recording { get; private set; }

    public double Position { get; private set; }

    public RigFault? Fault { get; set; }

    /// <summary>What universe 1 is: <c>heard</c>, <c>silent</c> or <c>lost</c>.</summary>
    public string Universe { get; set; } = "heard";

    /// <summary>The same of universe 2.</summary>
    public string Second { get; set; } = "heard";

    public float Lux { get; set; } = 812;

    /// <summary>Cautions of what is shown no more.</summary>
    public IReadOnlyList<EarlierCaution> Earlier { get; set; } = [];

    /// <summary>What is wrong on the network at a fixture's addresses.</summary>
    public IReadOnlyList<string> Troubles { get; set; } = [];

    /// <summary>In how many ways a fixture's channels are driven, and who sends what to its dimmer; all by one desk when left out.</summary>
    public (IReadOnlyList<DriveLine> Drives, IReadOnlyList<long?> Sent)? Fight { get; set; }

    /// <summary>Universes beside the first two.</summary>
    public IReadOnlyList<UniverseLine> More { get; set; } = [];

    /// <summary>How an aim is reached; straight when left out.</summary>
    public IReadOnlyList<AimWay>? Ways { get; set; }

    /// <summary>What stands beside the timecode.</summary>
    public string Note { get; set; } = "25 frames/s, runs";

    public string? Timecode { get; set; } = "01:02:03:04";

    /// <summary>The one capture on the shelf.</summary>
    public string Take { get; set; } = "take 1";

    /// <summary>The capture's, s.</summary>
    public double Length { get; set; } = 60;

    /// <summary>The capture's.</summary>
    public IReadOnlyList<CueLine> Cues { get; set; } = [];

    /// <summary>What lies over the pixels; nothing when left out.</summary>
    public IReadOnlyList<ContentLine>? Contents { get; set; }

    /// <summary>What a pick finds; none below 0.</summary>
    public int Under { get; set; }

    public int Moves { get; private set; }

    public bool Measuring { get; private set; }

    public ScanState? Scan { get; private set; }

    /// <summary>The group that exchanges MVR files; none until set.</summary>
    public GroupState? Group { get; set; }

    public bool Playing { get; private set; }

    /// <summary>Called once a fixture's answer is made, before it is given.</summary>
    public Action<string>? OnItsWay { get; set; }

    /// <summary>No fixture is told about.</summary>
    public bool Mute { get; set; }

    public long Arrival { get; set; }

    /// <summary>The rig's fixtures and cameras in the order of its file.</summary>
    public IReadOnlyList<string> Fixtures { get; private set; } = [.. Enumerable.Range(1, 12).Select(i => $"Spot {i}")];

    public IReadOnlyList<string> Cameras { get; private set; } = ["house", "from the left"];

    /// <summary>Where what is picked shines to; on three places when left out.</summary>
    public IReadOnlyList<LandingLine>? Landings { get; set; }

    public List<string> Asked { get; } = [];

    public RigCard Rig => new(_version, "synthetic rig", "synthetic.rig.jsonc",
        [.. Fixtures.Select((name, i) => new FixtureLine(name, $"{101 + i}", "moving spot", "standard", "ladder left", $"1.{1 + (i * 20)}", ["spots"],
            _moved.GetValueOrDefault(name, [i - 6, 4, 6]), true))],
        [.. Cameras.Select(c => new CameraLine(c, c == "house" ? [0, -14, 3] : [-10, -4, 4], [0, 3, 2.5f], 50, 7))],
        []);

    public IMoments Moments { get; } = new NoMoments();

    public INotes Notes { get; set; } = new NoNotes();

    /// <summary>Found in the capture's levels.</summary>
    public IReadOnlyList<ChangeLine> Changes { get; set; } = [];

    /// <summary>A seat of its own; itself, when left out, so that what a page opens is seen here.</summary>
    public Func<ISeat>? OfItsOwn { get; set; }

    public ISeat Apart() => OfItsOwn?.Invoke() ?? this;

    public bool IsDisposed { get; private set; }

    public void Dispose() => IsDisposed = true;

    /// <summary>A sound input that is listened to, or null.</summary>
    public LtcState? Ltc { get; set; }

    public ShowState State() => new(
        _version, Source, Source switch { "network" => "what the network sends", "look" => _look, _ => Take }, Position, Timecode,
        Timecode is null ? null : Note,
        new NetworkState(["127.0.0.1"], 44,
            [new UniverseLine(1, Universe, 44, 12,
                [new SourceLine("desk of the synthetic rig", "127.0.0.1:48812", "sACN", 100, 44, "sending", true, 512, 512, "wins all 512 addresses")]),
                new UniverseLine(2, Second, 0, 1, []), .. More],
            [new FindingLine("warning", 2, "universe 2 is patched but silent: nothing was heard in 10 s")], null),
        Source == "capture" ? new CaptureState(Take, Length, Position, Playing, 1, Cues)
        {
            Frozen = _frozen,
            Changes = Changes,
            Sound = SoundFile is { } s ? new SoundLine(Path.GetFileName(s), 1) : null,
        }
        : null,
        new RecorderState(Recording, Recording ? "take 2" : null, 754, 2048, null), Fault,
        new CautionsState(
            "Shown since 20:00:00",
            [new CautionLine("laser", "Laser 2 enters the audience volume", "The laser safety officer, local code and licensed practice decide.", null, 4, 3, 5,
                true, [0, -4, 1], false) { Key = "laser|audience|1" }],
            0, null, ["laser rays into and near 1 volume (1): laserHeight 3 m"], ["lasers that scan: asked by themselves"], "These are reasons to look.")
        {
            Earlier = Earlier,
        },
        Scan,
        new EditState(_moved.Count > 0, false, _moved.Count > 0 ? "moved Spot 1" : null), Measuring ? new MarkerState(1, null, null, 0) : null, Group)
    {
        AsIf = AsIfLevels.Count == 0 ? null : new AsIfState(AsIfLevels.Count, AsIfLevels.Select(l => l.Fixture).Distinct().Count(), AsIfLevels),
        Notes = Notes.State,
        Ltc = Ltc,
        Content = Contents,
        Last = KeepsLast ? new LastState(540, 120_000_000, null) : null,
    };

    /// <summary>Whose light is seen where somebody clicks; that of what is found alone when left out.</summary>
    public IReadOnlyList<PickLine>? There { get; set; }

    public IReadOnlyList<(int Universe, byte[] Levels)> Levels() => [(1, [.. Enumerable.Repeat((byte)Level, 512)])];

    public Reply Pick(Ray ray) => Under >= 0
        ? Fixture(Fixtures[Under]) is { Data: FixtureCard card } found ? found with { Data = card with { There = There } } : Fixture(Fixtures[Under])
        : Reply.Refuse("no fixture and no beam there, however far the eye follows that ray through the room and its mirrors");

    public Reply Fixture(string name)
    {
        var card = Card(name);
        OnItsWay?.Invoke(name);
        return card;
    }

    /// <summary>Called before a search is answered.</summary>
    public Action<string>? OnSearch { get; set; }

    public Reply Find(string text)
    {
        OnSearch?.Invoke(text);
        return Reply.Done("", Rig.Fixtures
            .Where(f => f.Name.Contains(text, StringComparison.OrdinalIgnoreCase) || f.Patch.StartsWith(text, StringComparison.Ordinal))
            .Select(f => f.Name).ToArray());
    }

    public Vector3? PointOn(Ray ray) => ray.AtHeight(0);

    public Reply Aim(string fixture, Vector3 point)
    {
        Asked.Add($"aim {fixture}");
        return Reply.Done("", new AimCard(fixture, [point.X, point.Y, point.Z],
            Ways ?? [new AimWay("direct", 12.3, -45.6, 30, .4, 1, 640, true, [], ["Pan 1.2/1.3 = 132/208", "Tilt 1.4/1.5 = 78/32"])],
            ["via rear mirror: outside the tilt limits by 12.0°"]));
    }

    public Reply Several(IReadOnlyList<string> fixtures)
    {
        var lines = fixtures.Select((f, i) => new SeveralFixture(f, [i - 6, 4, 6], i % 3 == 0 ? 0 : 1000 + i,
            i % 3 == 0 ? null : i % 3 == 1 ? "#ff0000" : "#ffd9a0",
            i % 3 == 0 ? null : [.64f, .33f])).ToList();
        return Reply.Done("", new SeveralCard(lines,
            [new SeveralAttribute("Dimmer", lines.Count, 0, Level / 255.0, "0 %", $"{Level / 2.55:0} %", AsIfLevels.Count > 0),
                new SeveralAttribute("ColorMacro_of_the_second_wheel", 1, .5, .5, "deep amber of the second wheel", "deep amber of the second wheel", false)],
            [-6, 4, 6], [lines.Count - 7, 4, 6], lines.Sum(l => l.Lumens), .2184));
    }

    public IReadOnlyList<AsIfLevel> AsIfLevels { get; private set; } = [];

    public Reply LookAsIf(IReadOnlyList<AsIfLevel> levels)
    {
        AsIfLevels = [.. AsIfLevels, .. levels];
        Asked.Add("as if " + string.Join(", ", levels.Select(l => $"{l.Fixture}/{l.Channel}={l.Raw}")));
        return Reply.Done("as if: for looking only, nothing is sent");
    }

    public Reply LookAsIf(IReadOnlyList<string> fixtures, string attribute, double share) =>
        LookAsIf([.. fixtures.Select(f => new AsIfLevel(f, attribute, (long)Math.Round(share * 255)))]);

    public Reply EndAsIf()
    {
        AsIfLevels = [];
        return Reply.Done("everything follows the levels that come in");
    }

    public Reply Record(bool on)
    {
        Recording = on;
        return Reply.Done(on ? "recording" : "recorded");
    }

    public Reply Listen()
    {
        Source = "network";
        return Reply.Done("showing the network");
    }

    public Reply Open(string capture)
    {
        if (capture != Take)
        {
            return Reply.Refuse($"there is no capture named {capture}");
        }

        Source = "capture";
        return Reply.Done($"{Take} is open");
    }

    /// <summary>Whether the last minutes are kept.</summary>
    public bool KeepsLast { get; set; }

    private bool _frozen;

    public Reply OpenLast()
    {
        (Source, Take, _frozen) = ("capture", "last minutes 20.15.00", true);
        return Reply.Done("last minutes 20.15.00: go back with the slider; save them to keep them");
    }

    public Reply SaveLast(string name)
    {
        Asked.Add("save " + name);
        return Reply.Done($"saved as {name}.pcapng, among the recordings");
    }

    /// <summary>Music that begins at 1 s of the capture.</summary>
    public string? SoundFile { get; set; }

    public Reply Play(bool playing, double speed)
    {
        Playing = playing;
        return Reply.Done("");
    }

    public Reply SeekTo(string time)
    {
        if (Cues.FirstOrDefault(c => "cue:" + c.Name == time) is not { } cue)
        {
            return Reply.Refuse($"no time is called {time}");
        }

        Position = cue.Seconds;
        return Reply.Done("");
    }

    public Reply Seek(double seconds)
    {
        Position = seconds;
        Level = (int)Math.Clamp(seconds * 4, 0, 255);
        return Reply.Done("");
    }

    public Reply TryLook(string look)
    {
        (Source, _look) = ("look", look);
        return Reply.Done("");
    }

    public Reply Move(string fixture, Vector3 position)
    {
        Moves++;
        _moved[fixture] = [position.X, position.Y, position.Z];
        _version++;
        return Reply.Done("moved");
    }

    /// <summary>The rig file is saved with these.</summary>
    public void Save(IReadOnlyList<string> fixtures, IReadOnlyList<string> cameras)
    {
        (Fixtures, Cameras) = (fixtures, cameras);
        _version++;
    }

    public Reply LookThrough(bool on)
    {
        Scan = on ? new ScanState(true, .25, null) : null;
        return Reply.Done("");
    }

    public Reply LookAtCommit(string commit)
    {
        Asked.Add("look at " + commit);
        Group = Group! with { Commits = [.. Group.Commits.Select(c => c.Id == commit ? c with { Changes = ["fixture Spot 1 is gone"] } : c)] };
        return Reply.Done("");
    }

    public Reply TakeCommit(string commit)
    {
        Asked.Add("take " + commit);
        Group = Group! with { Commits = [.. Group.Commits.Select(c => c.Id == commit ? c with { State = "taken" } : c)] };
        return Reply.Done("");
    }

    public Reply CommitRig(string words)
    {
        Asked.Add("commit " + words);
        return Reply.Done("committing");
    }

    public Reply Undo()
    {
        _moved.Clear();
        _version++;
        return Reply.Done("moved back");
    }

    public Reply Redo() => Reply.Refuse("nothing to do again");

    public Reply Shelves() => Reply.Done("",
        new { captures = new[] { new { name = Take, bytes = 1000, seconds = Length } }, looks = new[] { "front wash", "blue" } });

    /// <summary>Nothing says what show would be refocused.</summary>
    public Reply RefocusRows(int from) => Reply.Refuse("there is none");

    public Reply RefocusTicks(int since) => Reply.Refuse("there is none");

    public Reply TickFocused(int version, int? row, string? fixture, bool on, string by) => Reply.Refuse("there is none");

    public Reply Measure(bool on)
    {
        Measuring = on;
        return Reply.Done("");
    }

    /// <summary>All that a channel is driven by where one source sends alone.</summary>
    public static DriveLine OneDesk { get; } = new(false, false,
        [new DriverLine("desk of the synthetic rig", "127.0.0.1", "sACN", 100, false, true, false, "wins")]);

    private Reply Card(string name) => Fixtures.Contains(name) && !Mute
        ? Reply.Done("", new FixtureCard(name, "101", "moving spot", "standard", "1.1", "synthetic.rig.jsonc:12", [0, 4, 6], true,
            [new ChannelLine("Dimmer", "1.1", Level, 255, $"{Level / 2.55:0} %", "dimmer") { Drive = Fight is null ? 0 : 1, Sent = Fight?.Sent },
                new ChannelLine("Pan", "1.2/1.3", 32768, 65535, "0.0°", "") { Drive = 0 },
                new ChannelLine("Colour wheel, turning", "12.104/12.105", 40123, 65535, "-128.4 °/s", "turns left, quicker and quicker to the end"),
                new ChannelLine("head_ColorMacro_WheelSpin_of_the_second_wheel", "12.106", 255, 255, "0.00 %", "default: not heard")],
            Landings ?? [new LandingLine("", [0, 2, 0], "stage floor", 6.3, 1.2, 1.4, Lux, 21), new LandingLine("", [1, 2, 0], "stage floor", 6.3, 0, 0, 0, 21),
                new LandingLine("", [2, 2, 0], "stage floor", 6.3, 1, 1, .4f, 21)], [])
        { AsIf = [.. AsIfLevels.Where(l => l.Fixture == name).Select(l => l.Channel)], Network = Troubles, Drives = Fight?.Drives ?? [OneDesk] })
        : Reply.Refuse("no such fixture");
}

/// <summary>Paints the level as grey, with noise so that packing has work to do.</summary>
internal sealed class SyntheticPictures(SyntheticShow show) : ILivePictures
{
    private readonly byte[] _noise = Noise();

    public Func<bool>? Fail { get; init; }

    public string Renderer => "synthetic";

    public DrawOutcome Draw(Viewpoint view, ulong unless, ulong onlyIf, Picture into, IDrawWatch? watch = null, IMoments? of = null)
    {
        if (Fail?.Invoke() == true)
        {
            throw new InvalidOperationException("the context is lost");
        }

        var level = show.Level;
        if (unless == (ulong)level + 1)
        {
            return DrawOutcome.Unchanged;
        }

        if (onlyIf != 0 && onlyIf != (ulong)level + 1)
        {
            return DrawOutcome.Moved;
        }

        into.Resize(view.Width, view.Height);
        var pixels = into.Rgba.AsSpan(0, view.Width * view.Height * 4);
        for (var i = 0; i < pixels.Length; i += 4)
        {
            pixels[i] = pixels[i + 1] = pixels[i + 2] = (byte)Math.Clamp(level + _noise[i & 0xffff], 0, 255);
            pixels[i + 3] = 255;
        }

        into.Fingerprint = into.Essence = (ulong)level + 1;
        into.NewestArrival = show.Arrival;
        return DrawOutcome.Drawn;
    }

    public void Check()
    {
    }

    public void Dispose()
    {
    }

    private static byte[] Noise()
    {
        var noise = new byte[65536];
        new Random(1).NextBytes(noise);
        for (var i = 0; i < noise.Length; i++)
        {
            noise[i] = (byte)(noise[i] & 15);
        }

        return noise;
    }
}

/// <summary>Nothing to draw from.</summary>
internal sealed class NoMoments : IMoments
{
    public int Newest(ref byte[] buffer, out MomentHead head)
    {
        head = default;
        return 0;
    }

    public byte[] Tables(int version) => [];
}

/// <summary>Keeps nothing.</summary>
internal sealed class NoNotes : INotes
{
    private static readonly Reply s_none = Reply.Refuse("nothing is kept here");

    public string File => "synthetic.notes.json";

    public NotesState State { get; } = new("synthetic.notes.json", null, [], []);

    public Reply Drop(ShowState shown, KeptCamera camera, byte[]? picture) => s_none;

    public Reply Write(string id, string text) => s_none;

    public Reply Tick(string id, bool done) => s_none;

    public Reply Remove(string id) => s_none;

    public Reply KeepCamera(KeptCamera camera) => s_none;

    public Reply ForgetCamera(string name) => s_none;
}
