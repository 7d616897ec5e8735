using System.Globalization;
using System.Numerics;
using StageView.Ground.Indices;
using StageView.Light.Geometry;
using StageView.Light.Measure;
using StageView.Light.Moments;
using StageView.Light.Photometry;
using StageView.Light.Rays;
using StageView.Live.Night;
using StageView.Live.RigFile;
using StageView.Rig.Patching;
using StageView.Rig.Pieces;
using StageView.Show.Questions;
using StageView.Stage;
using StageView.Stage.Looks;
using StageView.Stage.State;
using StageView.Wire.Capture;
using StageView.Wire.Universes;

namespace StageView.Live.Shown;

internal sealed partial class LiveShow
{
    private const string LookEnding = ".look.jsonc";
    private readonly Lock _editGate = new();

    public Reply Pick(Ray ray)
    {
        lock (_stages)
        {
            var moment = MomentNow();
            var index = Picker.Fixture(moment, OcclusionScene.From(moment), ray);
            return index.IsNone ? Reply.Refuse("no fixture and no beam there") : Reply.Done("", CardOf(_rig.Fixtures[index.Value]));
        }
    }

    public Vector3? PointOn(Ray ray)
    {
        lock (_stages)
        {
            return Picker.Point(OcclusionScene.From(MomentNow()), ray);
        }
    }

    public Reply Fixture(string name)
    {
        lock (_stages)
        {
            return Named(_rig, name) is { } fixture ? Reply.Done("", CardOf(fixture)) : Reply.NoFixture(name);
        }
    }

    public Reply Find(string text)
    {
        var rig = _rig;
        var wanted = text.Trim();
        if (UniverseAddress.TryParse(wanted, out var address))
        {
            return Reply.Done("", new PatchLookup(rig).At(address).Select(f => f.Name).ToArray());
        }

        bool Has(string s) => s.Contains(wanted, StringComparison.OrdinalIgnoreCase);
        var inUniverse = int.TryParse(wanted, NumberStyles.None, CultureInfo.InvariantCulture, out var u) ? new PatchLookup(rig).In(u).ToHashSet() : [];
        return Reply.Done("", rig.Fixtures
            .Where(f => Has(f.Name) || f.Number == wanted || f.Groups.Any(Has) || Has(f.Position) || inUniverse.Contains(f))
            .OrderBy(f => f.Number == wanted ? 0 : f.Name.StartsWith(wanted, StringComparison.OrdinalIgnoreCase) ? 1 : 2)
            .Select(f => f.Name).ToArray());
    }

    public Reply Aim(string fixture, Vector3 point)
    {
        AimWays ways;
        Fixture? head;
        lock (_stages)
        {
            head = Named(_rig, fixture);
            if (head is null)
            {
                return Reply.NoFixture(fixture);
            }

            var stage = StageNow(out var at);
            ways = new AimWays(_rig, stage, at, _clock);
        }

        // The search takes its time with many mirrors, and needs nothing of the running show.
        return Reply.Done("", ways.Find(head, point));
    }

    public Reply Record(bool on) => on ? _recorder.Start() : _recorder.Stop();

    public Reply Listen()
    {
        lock (_stages)
        {
            Leave();
        }

        _journal.Say("show", "showing the network");
        Wake();
        return Reply.Done("showing the network");
    }

    public Reply Open(string capture)
    {
        if (!CaptureFiles().TryGetValue(capture, out var file))
        {
            return Reply.Refuse($"there is no capture named {NightJournal.Clean(capture)} in {_recorder.Folder}");
        }

        try
        {
            var deck = new CaptureDeck(_rig, file, _clock);
            lock (_stages)
            {
                Leave();
                _capture = deck;
            }
        }
        catch (CaptureException e)
        {
            return Reply.Refuse(e.Message);
        }

        _journal.Say("show", $"showing the capture {capture}");
        Wake();
        return Reply.Done($"{capture} is open; play it or pull the slider");
    }

    public Reply Play(bool playing, double speed) => WithCapture(c => c.Play(playing, speed));

    public Reply Seek(double seconds) => WithCapture(c => c.Seek(seconds));

    public Reply TryLook(string look)
    {
        if (!LookNames().Contains(look))
        {
            return Reply.Refuse($"there is no look named {NightJournal.Clean(look)} in {_options.Looks}");
        }

        // Watched from before it is read, so that no save falls between.
        var file = Path.Combine(_options.Looks, look + LookEnding);
        var watch = new FileWatch();
        watch.Follow([file]);
        var stage = ReadLook(file, _rig, out var why);
        if (stage is null)
        {
            _journal.Say("show", $"the look {look} is not tried: {why}");
            return Reply.Refuse($"{look} is not tried: {why}");
        }

        lock (_stages)
        {
            Leave();
            (_look, _lookName, _lookFile, _lookWatch) = (stage, look, file, watch);
        }

        _journal.Say("show", $"trying the look {look}{(why.Length > 0 ? ", without: " + why : "")}");
        Wake();
        return Reply.Done(why.Length > 0 ? $"trying {look}, without: {why}" : $"trying {look}; nothing is sent");
    }

    /// <summary>Reads a look that is being tried again when it was saved. Where no line of it can be used, the last good one stays.</summary>
    private void FollowLook()
    {
        string? file;
        string name;
        FileWatch? watch;
        RigScene rig;
        lock (_stages)
        {
            (file, name, watch, rig) = (_lookFile, _lookName, _lookWatch, _rig);
        }

        if (file is null || watch is null || watch.Changed().Count == 0)
        {
            return;
        }

        StageModel? stage;
        string why;
        while ((stage = ReadLook(file, rig, out why)) is null)
        {
            // An editor may be half-way through its save.
            if (!_stop.Token.WaitHandle.WaitOne(StillWriting) && watch.Changed().Count > 0)
            {
                continue;
            }

            _journal.Say("show", $"the look {name} was saved and can't be used: {why} (the last good one stays)");
            return;
        }

        lock (_stages)
        {
            // Another may be shown by now; this thread alone changes the rig.
            if (!ReferenceEquals(_lookWatch, watch))
            {
                return;
            }

            _look = stage;
        }

        _journal.Say("show", $"the look {name} was saved and is read again{(why.Length > 0 ? ", without: " + why : "")}");
        Wake();
    }

    public Reply Shelves()
    {
        lock (_stages)
        {
            KeepLength();
        }

        return Reply.Done("", new { captures = CaptureFiles().Select(c => new CaptureLine(c.Key, LengthOf(c.Value))), looks = LookNames() });
    }

    public Reply Move(string fixture, Vector3 position) => Edit(rig => Named(rig, fixture) is { } f ? _editor.Move(rig, f.Index, position) : Reply.NoFixture(fixture));

    public Reply Undo() => Edit(_editor.Undo);

    public Reply Redo() => Edit(_editor.Redo);

    public string PickForWindow(Ray ray)
    {
        var answer = Pick(ray);
        if (answer.Data is not FixtureCard f)
        {
            return _rig.Name;
        }

        var landing = f.Landings.Count > 0 ? string.Create(CultureInfo.InvariantCulture, $": {f.Landings[0].Lux:0} lx on {f.Landings[0].Surface}, throw {f.Landings[0].Throw:0.0} m") : "";
        return $"{_rig.Name}: {f.Name}{(f.Number.Length > 0 ? $" ({f.Number})" : "")}, {(f.Patch.Length > 0 ? f.Patch : "not patched")}{landing}";
    }

    /// <summary>Captures by name: the recordings, then those beside the rig file.</summary>
    private Dictionary<string, string> CaptureFiles()
    {
        var files = _recorder.Captures().ToDictionary(c => c, c => Path.Combine(_recorder.Folder, c));
        var beside = Path.GetDirectoryName(Path.GetFullPath(_options.RigFile))!;
        foreach (var file in Directory.EnumerateFiles(beside, "*.pcap*").Order().Take(200))
        {
            files.TryAdd(Path.GetFileName(file), file);
        }

        return files;
    }

    private Reply Edit(Func<RigScene, Reply> edit)
    {
        lock (_editGate)
        {
            if (_fault is not null)
            {
                return Reply.Refuse("the rig file can't be read as it stands; mend it first");
            }

            var answer = edit(_rig);
            if (answer.Ok)
            {
                _journal.Say("rig", answer.Text);
            }

            return answer;
        }
    }

    private Reply WithCapture(Action<CaptureDeck> act)
    {
        lock (_stages)
        {
            if (_capture is not { } capture)
            {
                return Reply.Refuse("no capture is open");
            }

            act(capture);
        }

        Wake();
        return Reply.Done("");
    }

    /// <summary>What was read through once, or recorded here, is of known length; to read a file for it would take as long as the file is. s, or null.</summary>
    private double? LengthOf(string file) =>
        _recorder.LengthOf(file) ?? (_lengths.TryGetValue(file, out var known) ? known : null);

    /// <summary>Call within the gate of the stages.</summary>
    private void KeepLength()
    {
        if (_capture is { IsMeasured: true } deck)
        {
            _lengths[deck.Path] = deck.Length;
        }
    }

    /// <summary>Leaves capture and look; call within the gate of the stages.</summary>
    private void Leave()
    {
        KeepLength();
        _capture?.Dispose();
        (_capture, _look, _lookFile, _lookName, _lookWatch) = (null, null, null, "", null);
    }

    /// <summary>The look on a stage of its own; null when it can't be read or no line of it can be used. The first fault is named and the others are counted.</summary>
    private static StageModel? ReadLook(string file, RigScene rig, out string why)
    {
        try
        {
            var problems = new List<LookProblem>();
            var levels = LookFile.Read(rig, File.ReadAllText(file), problems, out var sets);
            why = problems.Count == 0 ? "" : $"{Path.GetFileName(file)} {problems[0]}{(problems.Count > 1 ? $" (and {problems.Count - 1} more)" : "")}";
            if (sets == 0 && problems.Count > 0)
            {
                why = "no line of it can be used: " + why;
                return null;
            }

            var stage = new StageModel(rig);
            levels.SendTo(stage, TimeSpan.Zero);
            return stage;
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            why = e.Message;
            return null;
        }
    }

    private List<string> LookNames()
    {
        try
        {
            return Directory.Exists(_options.Looks)
                ? [.. Directory.EnumerateFiles(_options.Looks, "*" + LookEnding).Select(f => Path.GetFileName(f)[..^LookEnding.Length]).Order().Take(200)]
                : [];
        }
        catch (IOException)
        {
            return [];
        }
    }

    private static Fixture? Named(RigScene rig, string name) => rig.Fixtures.FirstOrDefault(f => f.Name == name);

    /// <summary>Call within the gate of the stages.</summary>
    private FixtureCard CardOf(Fixture fixture)
    {
        var stage = StageNow(out var at);
        var state = stage.StateOf(fixture.Index, at, Shutter);
        var moment = stage.MomentAt(at, Shutter);
        var whyFixed = RigEditor.WhyFixed(_rig, fixture);
        return new FixtureCard(
            fixture.Name, fixture.Number, fixture.Profile.Name, fixture.Mode.Name, string.Join(", ", fixture.Patch.Select(p => p.Start)), fixture.Source?.ToString() ?? "",
            Three(state.Emitters.Count > 0 && fixture.Carrier is not null ? state.Emitters[0].Position : fixture.Pose.Position),
            whyFixed is null,
            [.. state.Attributes.Take(200).Select(Channel)],
            Landings(moment, new FixtureIndex(fixture.Index)),
            fixture.Profile.NotUnderstood.Take(5).ToList(),
            whyFixed);
    }

    private static ChannelLine Channel(AttributeState a)
    {
        var places = a.Unit is "deg" or "deg/s" ? "0.0" : "0.##";
        string Value(float v) => float.IsFinite(v) ? (a.Unit.Length == 0 ? (v * 100).ToString("0", CultureInfo.InvariantCulture) + " %" : v.ToString(places, CultureInfo.InvariantCulture) + (a.Unit == "deg" ? "°" : " " + a.Unit)) : "";
        var moving = MathF.Abs(a.Now - a.Target) > .05f && double.IsFinite(a.ArrivesIn) && a.ArrivesIn > 0;
        var physical = a.Attribute.Length == 0 ? "" : moving ? $"{Value(a.Now)} → {Value(a.Target)}" : Value(a.Target);
        var doing = a.Set.Length > 0 ? a.Set : !a.IsSimulated ? "not simulated" : a.IsDefault && a.Addresses.Count > 0 ? "default: not heard" : "";
        return new ChannelLine(a.Channel, a.Addresses.Count > 0 ? a.Addresses[0].ToString() : "", a.Raw, a.Highest, physical, doing);
    }

    private List<LandingLine> Landings(Moment moment, FixtureIndex fixture)
    {
        var scene = OcclusionScene.From(moment);
        var meter = new LightMeter(moment, scene);
        var lines = new List<LandingLine>();
        for (var i = 0; i < moment.Beams.Length && lines.Count < 12; i++)
        {
            var beam = moment.Beams.Span[i];
            if (beam.Fixture != fixture || !Light.Measure.Landings.TryFind(meter, scene, new BeamIndex(i), out var landing) || !landing.Mirror.IsNone)
            {
                continue;
            }

            var print = Footprints.Of(meter, landing);
            var path = moment.MirrorsOf(beam).ToArray().Select(m => Texts.Mirror(moment, m));
            lines.Add(new LandingLine(
                string.Join(", ", path), Three(landing.Point), Texts.Surface(moment, _rig, landing.Instance, landing.Mirror),
                landing.ThrowMetres, print.Length, print.Width, landing.CentreLux, Angles.Degrees(landing.IncidenceRadians),
                landing.CentreLux / MathF.Max(.01f, MathF.Cos(landing.IncidenceRadians)), print.SpotAtFieldAngle));
        }

        return lines;
    }
}
