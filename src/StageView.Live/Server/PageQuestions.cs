using System.Collections.Frozen;
using System.Globalization;
using System.Numerics;
using System.Text.Json;
using StageView.Light.Geometry;
using StageView.Live.Night;
using StageView.Live.Terms;
using StageView.Show.Notes;

namespace StageView.Live.Server;

/// <summary>Reads what a page asks and puts it to the show. Everything from outside is checked here.</summary>
/// <param name="show">What all share.</param>
/// <param name="seats">Who sees what.</param>
internal sealed class PageQuestions(ILiveShow show, SeatPlan seats, LiveServerOptions options, NightJournal journal)
{
    private const int LongestText = 200;

    /// <summary>What a device may ask that was invited to look and doesn't lead; all else is refused to it.</summary>
    private static readonly FrozenSet<string> s_looking = FrozenSet.ToFrozenSet(
        ["pick", "fixture", "find", "aim", "several", "listen", "open", "last", "play", "seek", "look", "place", "shelves", "through", "refocus", "focused",
            "still", "journal"], StringComparer.Ordinal);

    private const int LongestName = 40;
    private const int MostNames = 400;
    private const int LongestNote = 1000;

    /// <summary>m from the stage's zero, along each axis.</summary>
    private const float FarthestPoint = 1000;
    private const string PointRange = "metres from -1000 to 1000";

    /// <summary>A new view out of <c>{"do":"view", "from":[x,y,z], "to":[x,y,z], "fov":deg, "ev":n, "size":[w,h]}</c>; null when it makes no sense.</summary>
    public Viewpoint? ReadView(JsonElement m)
    {
        if (Point(m, "from") is not { } from || Point(m, "to") is not { } to || Number(m, "fov") is not { } fov || Number(m, "ev") is not { } ev
            || !m.TryGetProperty("size", out var size) || size.ValueKind != JsonValueKind.Array || size.GetArrayLength() != 2
            || !size[0].TryGetInt32(out var width) || !size[1].TryGetInt32(out var height))
        {
            return null;
        }

        width = Math.Clamp(width, 64, 4096);
        height = Math.Clamp(height, 64, 4096);
        var over = Math.Sqrt((double)width * height / options.MostPixels);
        if (over > 1)
        {
            width = (int)(width / over);
            height = (int)(height / over);
        }

        return Vector3.Distance(from, to) < .01f
            ? null
            : new Viewpoint(from, to, (float)Math.Clamp(fov, 5, 120) * Angles.RadiansPerDegree, (float)Math.Clamp(ev, -6, 20), width, height,
                Flag(m, "work") ?? true);
    }

    /// <param name="seat">Whose page asks.</param>
    /// <param name="role">What its device may do.</param>
    /// <param name="what">The question.</param>
    /// <param name="m">What is asked, whole.</param>
    /// <param name="view">What the page looked at when it asked.</param>
    /// <param name="picture">Copies the picture that it was sent last; null before the first one.</param>
    public Reply Ask(PageSeat seat, DoorRole role, string what, JsonElement m, Viewpoint view, Func<Picture?> picture)
    {
        var shown = seat.Now;
        if (role == DoorRole.Look && (!s_looking.Contains(what) || seats.StateOf(seat).Leads))
        {
            return Reply.Refuse("this device was invited to look; ask for an invitation to lead");
        }

        switch (what)
        {
            case "pick":
                return RayOf(m, view) is { } ray ? shown.Pick(ray) : WrongPlace();
            case "fixture":
                return Text(m, "fixture") is { } fixture ? shown.Fixture(fixture) : WrongFixture();
            case "find":
                return Text(m, "text") is { } text ? show.Find(text) : Wrong("what is searched for", $"a text of at most {LongestText} characters");
            case "aim":
                return Aim(shown, m, view);
            case "several":
                return Names(m, "fixtures") is { } several ? shown.Several(several) : WrongNames();
            case "as-if":
                return LookAsIf(seat, m);
            case "as-if-end":
                return seats.EndAsIf(seat);
            case "record":
                return Flag(m, "on") is { } on ? show.Record(on) : Wrong("'on'", "true or false");
            case "listen":
                return seats.Listen(seat);
            case "open":
                return Text(m, "name") is { } name ? seats.Open(seat, s => s.Open(name)) : WrongName("capture");
            case "last":
                return seats.Open(seat, s => s.OpenLast());
            case "save-last":
                return Text(m, "name") is { } last ? show.SaveLast(last) : WrongName("minutes");
            case "play":
                var speed = Math.Clamp(Number(m, "speed") ?? 1, .05, 20);
                return Flag(m, "on") is { } playing ? seats.Act(seat, s => s.Play(playing, speed)) : Wrong("'on'", "true or false");
            case "seek":
                return Text(m, "time") is { } time ? seats.Act(seat, s => s.SeekTo(time))
                    : Number(m, "seconds") is { } seconds ? seats.Act(seat, s => s.Seek(Math.Max(0, seconds))) : Wrong("the time", "seconds from 0");
            case "lead":
                return Flag(m, "on") is { } lead ? seats.Lead(seat, lead) : Wrong("'on'", "true or false");
            case "look":
                return Text(m, "name") is { } look ? seats.Open(seat, s => s.TryLook(look)) : WrongName("look");
            case "move":
                return Text(m, "fixture") is not { } moved ? WrongFixture() : Point(m, "at") is { } at ? show.Move(moved, at) : WrongPoint(m, "at");
            case "place":
                return Place(m, view);
            case "undo":
                return show.Undo();
            case "redo":
                return show.Redo();
            case "shelves":
                return show.Shelves();
            case "through":
                return Flag(m, "on") is { } through ? seats.Act(seat, s => s.LookThrough(through)) : Wrong("'on'", "true or false");
            case "commit-look":
                return Text(m, "name") is { } looked ? show.LookAtCommit(looked) : Wrong("the commit's name", $"a text of at most {LongestText} characters");
            case "commit-take":
                return Text(m, "name") is { } taken ? show.TakeCommit(taken) : Wrong("the commit's name", $"a text of at most {LongestText} characters");
            case "commit":
                return Text(m, "text") is { } words ? show.CommitRig(words) : Wrong("what was changed", $"a text of at most {LongestText} characters");
            case "refocus":
                return show.RefocusRows((int)Math.Max(0, Number(m, "from") ?? 0));
            case "focused":
                return show.RefocusTicks((int)(Number(m, "since") ?? 0));
            case "tick":
                return Tick(m);
            case "note":
                return show.Notes.Drop(shown.State(), Camera(m, view), picture() is { } seen ? Jpeg(seen) : null);
            case "still":
                return Still(shown, Camera(m, view), picture);
            case "note-text":
                return Text(m, "note") is { } written && Text(m, "text", LongestNote) is { } note ? show.Notes.Write(written, note)
                    : Wrong("the note", $"its name, and a text of at most {LongestNote} characters");
            case "note-done":
                return Text(m, "note") is { } ticked && Flag(m, "on") is { } done ? show.Notes.Tick(ticked, done) : Wrong("the note", "its name, and on");
            case "note-remove":
                return Text(m, "note") is { } removed ? show.Notes.Remove(removed) : Wrong("the note", "its name");
            case "camera-keep":
                return Camera(m, view) is { Name.Length: > 0 } camera ? show.Notes.KeepCamera(camera) : WrongView();
            case "camera-forget":
                return Text(m, "name") is { } forgotten ? show.Notes.ForgetCamera(forgotten) : WrongView();
            case "measure":
                return Flag(m, "on") is { } measure ? show.Measure(measure) : Wrong("'on'", "true or false");
            case "journal":
                return Reply.Done("", journal.Newest((int)Math.Clamp(Number(m, "most") ?? 100, 1, 500)));
            default:
                return Reply.Refuse($"nothing here is called '{OneLine.Of(what)}'");
        }
    }

    /// <summary><c>{"do":"tick", "version":n, "row":n or "fixture":"name", "on":true, "by":"name"}</c>.</summary>
    private Reply Tick(JsonElement m)
    {
        var (row, fixture) = (Number(m, "row"), Text(m, "fixture"));
        return Number(m, "version") is not { } version || row is null == fixture is null || Flag(m, "on") is not { } on
            ? Wrong("the position", "the version of the list, a row or a fixture's name, and on")
            : show.TickFocused((int)version, (int?)row, fixture, on, Text(m, "by") is { Length: <= LongestName } by ? by : "");
    }

    /// <summary>
    /// <c>{"do":"as-if", "set":[{"fixture":"name", "channel":"name", "raw":n}]}</c>, or
    /// <c>{"do":"as-if", "fixtures":["name"], "attribute":"Dimmer", "share":0.5}</c>.
    /// </summary>
    private Reply LookAsIf(PageSeat seat, JsonElement m)
    {
        if (m.TryGetProperty("set", out var set))
        {
            var levels = new List<AsIfLevel>();
            foreach (var one in set.ValueKind == JsonValueKind.Array ? set.EnumerateArray() : default)
            {
                if (one.ValueKind != JsonValueKind.Object || Text(one, "fixture") is not { } fixture || Text(one, "channel") is not { } channel
                    || !one.TryGetProperty("raw", out var v) || v.ValueKind != JsonValueKind.Number || !v.TryGetInt64(out var raw))
                {
                    return Wrong("a level", "a fixture's name, a channel's name and a whole number");
                }

                levels.Add(new AsIfLevel(fixture, channel, raw));
            }

            return seats.LookAsIf(seat, s => s.LookAsIf(levels));
        }

        return Names(m, "fixtures") is not { } fixtures ? WrongNames()
            : Text(m, "attribute") is not { } attribute || Number(m, "share") is not { } share || share is < 0 or > 1
                ? Wrong("the attribute or its share", "a name, and a number from 0 to 1")
            : seats.LookAsIf(seat, s => s.LookAsIf(fixtures, attribute, share));
    }

    private static List<string>? Names(JsonElement m, string name)
    {
        if (!m.TryGetProperty(name, out var list) || list.ValueKind != JsonValueKind.Array || list.GetArrayLength() > MostNames)
        {
            return null;
        }

        var names = list.EnumerateArray().Where(v => v.ValueKind == JsonValueKind.String).Select(v => v.GetString()!).ToList();
        return names.Count == list.GetArrayLength() ? names : null;
    }

    private static Reply WrongNames() => Wrong("the fixtures", $"a list of at most {MostNames} names");

    private static Reply Wrong(string field, string wanted) => Reply.Refuse($"{field} is missing or out of range: {wanted}");

    private static Reply WrongName(string of) => Wrong($"the name of the {of}", $"a text of at most {LongestText} characters");

    /// <summary>A picture as a file of its own, with an encoder of its own: the sending may be packing the next one.</summary>
    private static byte[] Jpeg(Picture picture)
    {
        using var encoder = new FrameEncoder();
        return encoder.Encode(picture, new QualityRung(FrameFormat.Jpeg, 85, 1))[FrameHeader.Length..].ToArray();
    }

    private Reply Still(ISeat shown, KeptCamera camera, Func<Picture?> picture)
    {
        var state = shown.State();
        var name = $"{show.Rig.Name} {state.Timecode ?? state.Seconds.ToString("0.0", CultureInfo.InvariantCulture)}";
        var file = string.Concat(name.Select(c => char.IsAsciiLetterOrDigit(c) || c is ' ' or '-' ? c : '.')) + ".png";
        return picture() is { } seen
            ? Reply.Done("", new { file, png = StillPicture.Png(seen, show.Rig.Name, state, camera, shown.Levels()) })
            : Reply.Refuse("there is no picture yet");
    }

    private static Reply WrongView() => Wrong("the name of the view", $"a text of 1 to {LongestName} characters");

    /// <summary>What the page looks at, by the name that it gives.</summary>
    private static KeptCamera Camera(JsonElement m, Viewpoint view) => new(
        Text(m, "name") is { Length: <= LongestName } name ? OneLine.Of(name.Trim()) : "",
        Three(view.Position), Three(view.Target), MathF.Round(Angles.Degrees(view.FieldRadians), 2), view.Ev100);

    private static float[] Three(Vector3 v) => [MathF.Round(v.X, 3), MathF.Round(v.Y, 3), MathF.Round(v.Z, 3)];

    private static Reply WrongFixture() => Wrong("the fixture's name", $"a text of at most {LongestText} characters");

    private static Reply WrongPlace() => Wrong("the place in the picture", "x and y, each from 0 to 1");

    /// <summary>Which of three fields is wrong, and how.</summary>
    private static Reply WrongPoint(JsonElement m, string name)
    {
        if (!m.TryGetProperty(name, out var v) || v.ValueKind != JsonValueKind.Array || v.GetArrayLength() != 3)
        {
            return Reply.Refuse($"the point is missing: X, Y and Z, {PointRange}");
        }

        for (var i = 0; i < 3; i++)
        {
            if (v[i].ValueKind != JsonValueKind.Number)
            {
                return Reply.Refuse($"{"XYZ"[i]} is empty or no number: {PointRange}");
            }

            if (Coordinate(v[i]) is null)
            {
                return Reply.Refuse($"{"XYZ"[i]} is out of range: {PointRange}");
            }
        }

        return Reply.Refuse($"the point can't be read: X, Y and Z, {PointRange}");
    }

    private static Reply Aim(ISeat shown, JsonElement m, Viewpoint view)
    {
        if (Text(m, "fixture") is not { } fixture)
        {
            return WrongFixture();
        }

        var point = Point(m, "at");
        if (point is null && RayOf(m, view) is { } ray)
        {
            point = shown.PointOn(ray);
            if (point is null)
            {
                return Reply.Refuse("nothing stands where you clicked; click the floor, a wall or a set piece");
            }
        }

        return point is { } p ? shown.Aim(fixture, p) : WrongPoint(m, "at");
    }

    /// <summary>Where a fixture would hang that is dragged, at its own height, to a point of the picture.</summary>
    private Reply Place(JsonElement m, Viewpoint view)
    {
        if (Text(m, "fixture") is not { } fixture)
        {
            return WrongFixture();
        }

        if (show.Rig.Fixtures.FirstOrDefault(f => f.Name == fixture) is not { } dragged)
        {
            return Reply.NoFixture(fixture);
        }

        if (RayOf(m, view) is not { } ray)
        {
            return WrongPlace();
        }

        return ray.AtHeight(dragged.At[2], 100) is { } p
            ? Reply.Done("", new[] { MathF.Round(p.X, 2), MathF.Round(p.Y, 2), dragged.At[2] })
            : Reply.Refuse("that point lies at the horizon; drag nearer");
    }

    private static Ray? RayOf(JsonElement m, Viewpoint view) =>
        Number(m, "x") is { } x and >= 0 and <= 1 && Number(m, "y") is { } y and >= 0 and <= 1 ? view.RayThrough((float)x, (float)y) : null;

    /// <summary>What a page calls its seat: 32 hexadecimal digits, or null.</summary>
    public static string? SeatId(JsonElement m) => Text(m, "id") is { Length: 32 } id && id.All(char.IsAsciiHexDigitLower) ? id : null;

    private static string? Text(JsonElement m, string name, int longest = LongestText) =>
        m.TryGetProperty(name, out var v) && v.ValueKind == JsonValueKind.String && v.GetString() is { } s && s.Length <= longest ? s : null;

    private static bool? Flag(JsonElement m, string name) =>
        m.TryGetProperty(name, out var v) && v.ValueKind is JsonValueKind.True or JsonValueKind.False ? v.GetBoolean() : null;

    private static double? Number(JsonElement m, string name) =>
        m.TryGetProperty(name, out var v) && v.ValueKind == JsonValueKind.Number && v.TryGetDouble(out var d) && double.IsFinite(d) && Math.Abs(d) < 1e7 ? d
        : null;

    /// <summary>m; null when it is no number or too far away.</summary>
    private static float? Coordinate(JsonElement v) =>
        v.ValueKind == JsonValueKind.Number && v.TryGetSingle(out var f) && float.IsFinite(f) && Math.Abs(f) <= FarthestPoint ? f : null;

    private static Vector3? Point(JsonElement m, string name)
    {
        if (!m.TryGetProperty(name, out var v) || v.ValueKind != JsonValueKind.Array || v.GetArrayLength() != 3)
        {
            return null;
        }

        Span<float> p = stackalloc float[3];
        for (var i = 0; i < 3; i++)
        {
            if (Coordinate(v[i]) is not { } c)
            {
                return null;
            }

            p[i] = c;
        }

        return new Vector3(p[0], p[1], p[2]);
    }
}
