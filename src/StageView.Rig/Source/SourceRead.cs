using System.Globalization;
using System.Numerics;
using StageView.Light.Geometry;

namespace StageView.Rig.Source;

/// <summary>Getters that assume a checked node and fall back where the checker has already complained.</summary>
internal static class SourceRead
{
    public static string TextOr(this SourceNode node, string key, string fallback = "") =>
        node.Get(key) is { Kind: SourceKind.Text } v ? v.Text : fallback;

    public static float NumberOr(this SourceNode node, string key, float fallback) =>
        node.Get(key) is { Kind: SourceKind.Number } v && double.IsFinite(v.Number) ? (float)v.Number : fallback;

    public static int IntegerOr(this SourceNode node, string key, int fallback) =>
        node.Get(key) is { Kind: SourceKind.Number } v && Math.Abs(v.Number) < int.MaxValue ? (int)v.Number : fallback;

    public static bool FlagOr(this SourceNode node, string key, bool fallback) =>
        node.Get(key) is { Kind: SourceKind.Flag } v ? v.Flag : fallback;

    public static IReadOnlyList<SourceNode> ListOf(this SourceNode node, string key) =>
        node.Get(key) is { Kind: SourceKind.List } v ? v.Items : [];

    /// <summary>A list of texts, or a single text.</summary>
    public static IReadOnlyList<string> TextsOf(this SourceNode node, string key) => node.Get(key) switch
    {
        { Kind: SourceKind.Text } t => [t.Text],
        { Kind: SourceKind.List } l => [.. l.Items.Where(i => i.Kind == SourceKind.Text).Select(i => i.Text)],
        _ => [],
    };

    public static float[] NumbersOf(this SourceNode node, string key) =>
        node.Get(key) is { Kind: SourceKind.List } v
            ? [.. v.Items.Select(i => i.Kind == SourceKind.Number && double.IsFinite(i.Number) ? (float)i.Number : 0)]
            : [];

    public static Vector3? Vector(this SourceNode node, string key) => node.Get(key)?.AsVector();

    public static Vector3 VectorOr(this SourceNode node, string key, Vector3 fallback) => node.Vector(key) ?? fallback;

    public static Vector3? AsVector(this SourceNode node) =>
        node is { Kind: SourceKind.List, Items.Count: 3 }
            ? new Vector3((float)node.Items[0].Number, (float)node.Items[1].Number, (float)node.Items[2].Number)
            : null;

    public static (float From, float To)? Pair(this SourceNode node, string key) =>
        node.NumbersOf(key) is [var a, var b] ? (a, b) : null;

    /// <summary>The pose written as <c>at</c> and <c>rotate</c>.</summary>
    public static Pose PoseOf(this SourceNode node) =>
        Pose.FromDegrees(node.VectorOr("at", Vector3.Zero), node.VectorOr("rotate", Vector3.Zero));

    /// <summary>A grey share, three linear shares, or <c>#rrggbb</c> in sRGB; linear Rec.709.</summary>
    public static Vector3 ColourOr(this SourceNode node, string key, Vector3 fallback) => node.Get(key).AsColourOr(fallback);

    /// <summary>The same of a value by itself.</summary>
    public static Vector3 AsColourOr(this SourceNode? value, Vector3 fallback)
    {
        switch (value)
        {
            case { Kind: SourceKind.Number } n:
                return new Vector3((float)n.Number);
            case { Kind: SourceKind.List, Items.Count: 3 } l:
                return l.AsVector() ?? fallback;
            case { Kind: SourceKind.Text, Text.Length: 7 } t when int.TryParse(
                t.Text.AsSpan(1), NumberStyles.HexNumber, CultureInfo.InvariantCulture, out var rgb):
                return new Vector3(Linear(rgb >> 16), Linear((rgb >> 8) & 255), Linear(rgb & 255));
            default:
                return fallback;
        }
    }

    /// <summary>sRGB decode, IEC 61966-2-1.</summary>
    private static float Linear(int value)
    {
        var v = value / 255f;
        return v <= .04045f ? v / 12.92f : MathF.Pow((v + .055f) / 1.055f, 2.4f);
    }
}
