using System.Collections.Frozen;
using System.Security.Cryptography;

namespace StageView.Live.Server;

/// <summary>The page's files, out of the program itself: a request names an entry of a table, never a path.</summary>
internal static class PageFiles
{
    private const string Prefix = "StageView.Live.Page.";

    private static readonly FrozenDictionary<string, PageFile> Files = Load();

    public static IEnumerable<string> Paths => Files.Keys;

    public static bool TryGet(string path, out PageFile file) => Files.TryGetValue(path == "/" ? "/index.html" : path, out file!);

    private static FrozenDictionary<string, PageFile> Load()
    {
        var assembly = typeof(PageFiles).Assembly;
        return assembly.GetManifestResourceNames()
            .Where(n => n.StartsWith(Prefix, StringComparison.Ordinal))
            .ToFrozenDictionary(n => "/" + n[Prefix.Length..], n =>
            {
                using var stream = assembly.GetManifestResourceStream(n)!;
                using var copy = new MemoryStream();
                stream.CopyTo(copy);
                var bytes = copy.ToArray();
                var tag = "\"" + Convert.ToHexStringLower(SHA256.HashData(bytes))[..16] + "\"";
                return new PageFile(bytes, TypeOf(n), tag);
            });
    }

    private static string TypeOf(string name) => Path.GetExtension(name) switch
    {
        ".html" => "text/html; charset=utf-8",
        ".css" => "text/css; charset=utf-8",
        ".js" => "text/javascript; charset=utf-8",
        ".svg" => "image/svg+xml",
        _ => "application/octet-stream",
    };
}

internal sealed record PageFile(byte[] Bytes, string ContentType, string Tag);
