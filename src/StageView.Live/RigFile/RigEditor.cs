using System.Globalization;
using System.Numerics;
using System.Text.Json;
using StageView.Ground.Files;
using StageView.Ground.Indices;
using StageView.Live.Terms;
using StageView.Rig.Assets;
using StageView.Rig.Pieces;
using StageView.Rig.Scene;
using StageView.Rig.Source;

namespace StageView.Live.RigFile;

/// <summary>
/// Moves fixtures in the rig file itself. Every edit is tried on a copy first: it is written only when the file still
/// reads well, the fixture stands where it was wanted, and nothing else moved.
/// </summary>
internal sealed class RigEditor(string path, RigLoadOptions options)
{
    private const float Close = .002f;
    private const int MostSteps = 100;
    private readonly List<Step> _done = [];
    private readonly List<Step> _undone = [];

    public bool CanUndo => _done.Count > 0;

    public bool CanRedo => _undone.Count > 0;

    public string? Last { get; private set; }

    /// <summary>Why a fixture's place can't be written into the rig file, as far as that is known without trying; null when it can.</summary>
    public static string? WhyFixed(RigScene rig, Fixture fixture) =>
        fixture.Carrier is { } carrier ? $"{fixture.Name} is carried by {rig[carrier.Fixture].Name}; move that one"
        : HangOf(rig, fixture) is not null ? null
        : fixture.Source is not null ? $"{fixture.Name} is written in another file ({fixture.Source}); change it there"
        : $"{fixture.Name} is not written in the rig file";

    public Reply Move(RigScene rig, FixtureIndex index, Vector3 world)
    {
        if (index.IsNone || index.Value >= rig.Fixtures.Count)
        {
            return Reply.Refuse("there is no such fixture any more");
        }

        var fixture = rig[index];
        var answer = Try(rig, fixture, world, out var before, out var after);
        if (!answer.Ok)
        {
            return answer;
        }

        try
        {
            WholeFile.Replace(path, after);
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            return Reply.Refuse(e.Message);
        }

        _undone.Clear();
        Push(_done, new Step(fixture.Name, fixture.Pose.Position, world, before, after));
        return Said($"{fixture.Name} moved to {Metres(world)} in {Path.GetFileName(path)}{RoomBounds.Remark(rig, world)}");
    }

    public Reply Undo(RigScene rig) => Back(rig, _done, _undone, "moved back");

    public Reply Redo(RigScene rig) => Back(rig, _undone, _done, "moved again");

    private Reply Back(RigScene rig, List<Step> from, List<Step> to, string word)
    {
        if (from.Count == 0)
        {
            return Reply.Refuse("there is nothing of that kind left");
        }

        var step = from[^1];
        var beside = "";
        byte[] now;
        try
        {
            now = File.ReadAllBytes(path);
            if (now.AsSpan().SequenceEqual(step.After))
            {
                WholeFile.Replace(path, step.Before);
            }
            else
            {
                // Edited by hand since: take back this move alone and leave the rest. The rig given may be older than that edit.
                var index = rig.Fixtures.FirstOrDefault(f => f.Name == step.Fixture)?.Index ?? FixtureIndex.None;
                if (index.IsNone || Load(now) is not { } current || current.Fixtures.FirstOrDefault(f => f.Name == step.Fixture) is not { } found)
                {
                    return Reply.Refuse(
                        $"{Path.GetFileName(path)} was changed by hand since, and has no fixture named {step.Fixture} any more; nothing was written");
                }

                if (Vector3.Distance(found.Pose.Position, step.To) > Close)
                {
                    from.RemoveAt(from.Count - 1);
                    return Reply.Refuse(
                        $"{Path.GetFileName(path)} was changed by hand since, and {step.Fixture} stands at {Metres(found.Pose.Position)} there, not where it "
                        + $"was put from here; nothing was written");
                }

                var answer = Try(rig, rig[index], step.From, out _, out var after);
                if (!answer.Ok)
                {
                    return answer;
                }

                WholeFile.Replace(path, after);
                step = step with { Before = after, After = now };
                beside = "; what was changed by hand since stays";
            }
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            return Reply.Refuse(e.Message);
        }

        from.RemoveAt(from.Count - 1);
        Push(to, new Step(step.Fixture, step.To, step.From, step.After, step.Before));
        return Said($"{step.Fixture} {word} to {Metres(step.From)}{beside}");
    }

    private static string Metres(Vector3 v) => string.Create(CultureInfo.InvariantCulture, $"{v.X:0.00}, {v.Y:0.00}, {v.Z:0.00} m");

    private Reply Said(string text)
    {
        Last = text;
        return Reply.Done(text);
    }

    private static void Push(List<Step> steps, Step step)
    {
        steps.Add(step);
        if (steps.Count > MostSteps)
        {
            steps.RemoveAt(0);
        }
    }

    private Reply Try(RigScene rig, Fixture fixture, Vector3 world, out byte[] before, out byte[] after)
    {
        before = after = [];
        if (WhyFixed(rig, fixture) is { } hung)
        {
            return Reply.Refuse(hung);
        }

        if (HangOf(rig, fixture) is not { } hang)
        {
            return Reply.Refuse($"{fixture.Name} is not written in the rig file");
        }

        try
        {
            before = File.ReadAllBytes(path);
            if (!TryMember(before, hang, fixture.Name, rig.Fixtures.Count(f => f.Source == fixture.Source) > 1, out var member))
            {
                return Reply.Refuse($"which of the fixtures of {fixture.Source} is {fixture.Name} can't be told from the file any more; save it and try again");
            }

            // Most hangs stand in the room's own coordinates: the same step in the file's numbers is then the answer.
            if (PositionEdit.Read(before, hang, member) is { } old
                && PositionEdit.Write(before, hang, member, old + (world - fixture.Pose.Position)) is { } simple
                && Check(simple, rig, fixture, world) is null)
            {
                after = simple;
                return Reply.Done("");
            }

            if (Solve(before, hang, member, fixture.Name, world) is not { } local || PositionEdit.Write(before, hang, member, local) is not { } solved)
            {
                return Reply.Refuse($"{fixture.Name} hangs in a part of the file that the page can't change; change {fixture.Source} by hand");
            }

            after = solved;
            return Check(solved, rig, fixture, world) is { } why ? Reply.Refuse(why) : Reply.Done("");
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            return Reply.Refuse($"{path} can't be changed: {e.Message}");
        }
    }

    /// <summary>Finds the file's numbers for a world point by trying the three axes: whatever parts and copies lie between is affine.</summary>
    private Vector3? Solve(byte[] text, SourcePath hang, int member, string name, Vector3 world)
    {
        Vector3? At(Vector3 local) => PositionEdit.Write(text, hang, member, local) is { } t
            ? Load(t)?.Fixtures.FirstOrDefault(f => f.Name == name)?.Pose.Position : null;
        if (At(Vector3.Zero) is not { } o || At(Vector3.UnitX) is not { } x || At(Vector3.UnitY) is not { } y || At(Vector3.UnitZ) is not { } z)
        {
            return null;
        }

        var (a, b, c) = (x - o, y - o, z - o);
        var m = new Matrix4x4(a.X, a.Y, a.Z, 0, b.X, b.Y, b.Z, 0, c.X, c.Y, c.Z, 0, 0, 0, 0, 1);
        return Matrix4x4.Invert(m, out var inverse) ? Vector3.Transform(world - o, inverse) : null;
    }

    private string? Check(byte[] text, RigScene rig, Fixture fixture, Vector3 world)
    {
        if (Load(text) is not { } changed || changed.Fixtures.Count != rig.Fixtures.Count)
        {
            return $"the rig file can't be read as it stands; mend it first ({path})";
        }

        if (Vector3.Distance(changed[fixture.Index].Pose.Position, world) > Close)
        {
            return $"{fixture.Name} hangs in a part of the file that the page can't change; change {fixture.Source} by hand";
        }

        for (var i = 0; i < rig.Fixtures.Count; i++)
        {
            if (i != fixture.Index.Value && (changed.Fixtures[i].Name != rig.Fixtures[i].Name
                || Vector3.Distance(changed.Fixtures[i].Pose.Position, rig.Fixtures[i].Pose.Position) > Close))
            {
                return
                    $"{fixture.Name} stands in a part that is used several times: {rig.Fixtures[i].Name} would move as well. Change {fixture.Source} by hand";
            }
        }

        return null;
    }

    private RigScene? Load(byte[] text)
    {
        var copy = Path.Combine(
            Path.GetDirectoryName(Path.GetFullPath(path))!,
            string.Create(CultureInfo.InvariantCulture, $".{Path.GetFileName(path)}.{Environment.ProcessId}.tmp"));
        try
        {
            File.WriteAllBytes(copy, text);
            return RigLoader.TryLoad(copy, options, out var rig, out _) ? rig : null;
        }
        finally
        {
            File.Delete(copy);
        }
    }

    /// <summary>The hang of a fixture, when it stands in the rig file itself.</summary>
    private static SourcePath? HangOf(RigScene rig, Fixture fixture) => fixture.Source is { } at && at.File == rig.File ? at.Path : null;

    /// <summary>0 for a hang of one; else which of its fixtures.</summary>
    /// <param name="several">Whether the hang makes more than this one, as when its part is repeated: its own numbers would move them all.</param>
    private static bool TryMember(byte[] text, SourcePath hang, string name, bool several, out int member)
    {
        member = 0;
        if (TextAt(text, hang.Key("name")) is not { } hangName)
        {
            return false;
        }

        var members = hang.Key("members");
        for (var i = 0; JsonSpan.Find(text, members.Item(i)) is not null; i++)
        {
            if (TextAt(text, members.Item(i).Key("name")) == name)
            {
                return WholeAt(text, members.Item(i).Key("member"), out member);
            }
        }

        if (name == hangName)
        {
            member = several || new[] { "row", "arc", "grid" }.Any(w => JsonSpan.Find(text, hang.Key(w)) is not null) ? 1 : 0;
            return true;
        }

        return name.StartsWith(hangName + " ", StringComparison.Ordinal)
            && int.TryParse(name.AsSpan(hangName.Length + 1), NumberStyles.None, CultureInfo.InvariantCulture, out member);
    }

    private static string? TextAt(byte[] text, SourcePath at) =>
        JsonSpan.Find(text, at) is { Kind: JsonTokenType.String } s ? JsonSerializer.Deserialize<string>(text.AsSpan(s.Start, s.End - s.Start)) : null;

    private static bool WholeAt(byte[] text, SourcePath at, out int number)
    {
        number = 0;
        return JsonSpan.Find(text, at) is { Kind: JsonTokenType.Number } n
            && int.TryParse(System.Text.Encoding.ASCII.GetString(text, n.Start, n.End - n.Start), NumberStyles.None, CultureInfo.InvariantCulture, out number);
    }

    private sealed record Step(string Fixture, Vector3 From, Vector3 To, byte[] Before, byte[] After);
}
