using System.Reflection;
using System.Security.Cryptography;
using System.Text;
using System.Text.Json;
using System.Text.Json.Serialization.Metadata;
using StageView.Rig.Pieces;
using StageView.Rig.Source;

namespace StageView.Show.Video;

/// <summary>
/// A hash of all that a video's frames depend on beside time and size. Where files lie doesn't count, so that machines of a cluster may mount them anywhere.
/// </summary>
internal static class SourceStamp
{
    private static readonly string[] Places = [nameof(RigScene.File), nameof(ContentPlacement.FullPath), nameof(RigScene.Files), nameof(Fixture.Source)];
    private static readonly Type[] Where = [typeof(string), typeof(SourcePlace), typeof(IReadOnlyList<SourceFile>)];

    private static readonly JsonSerializerOptions Json = new()
    {
        IncludeFields = true,
        NumberHandling = System.Text.Json.Serialization.JsonNumberHandling.AllowNamedFloatingPointLiterals,
        TypeInfoResolver = new DefaultJsonTypeInfoResolver { Modifiers = { LeaveOutPlaces, LeaveOutWorkedOut } },
    };

    /// <param name="rig">The rig as it was read, so that includes and profiles count.</param>
    /// <param name="levels">The capture or look file, or null.</param>
    /// <param name="camera">Its name; what it is stands in the rig.</param>
    /// <param name="style">Everything else that was asked for.</param>
    public static string Of(RigScene rig, string? levels, string camera, string style)
    {
        using var hash = IncrementalHash.CreateHash(HashAlgorithmName.SHA256);
        hash.AppendData(JsonSerializer.SerializeToUtf8Bytes(rig, Json));
        hash.AppendData(Encoding.UTF8.GetBytes($"\n{camera}\n{style}\n"));
        foreach (var file in rig.Files.Where(f => f.Kind == SourceFileKind.Content && f.Found).Select(f => f.FullPath).Append(levels).OfType<string>()
            .Where(File.Exists))
        {
            using var stream = File.OpenRead(file);
            hash.AppendData(SHA256.HashData(stream));
        }

        return Convert.ToHexStringLower(hash.GetHashAndReset());
    }

    private static void LeaveOutPlaces(JsonTypeInfo type)
    {
        for (var i = type.Properties.Count - 1; i >= 0; i--)
        {
            var property = type.Properties[i];
            if (Places.Contains(property.Name) && Where.Contains(property.PropertyType))
            {
                type.Properties.RemoveAt(i);
            }
        }
    }
    /// <summary>
    /// What is worked out from the rest says nothing new, and may be of its own type without end (the unit of a unit).
    /// A property is kept that can be written or has a field of its own.
    /// </summary>
    private static void LeaveOutWorkedOut(JsonTypeInfo type)
    {
        for (var i = type.Properties.Count - 1; i >= 0; i--)
        {
            if (type.Properties[i].AttributeProvider is PropertyInfo { CanWrite: false } property
                && property.DeclaringType?.GetField($"<{property.Name}>k__BackingField", BindingFlags.Instance | BindingFlags.NonPublic) is null)
            {
                type.Properties.RemoveAt(i);
            }
        }
    }
}
