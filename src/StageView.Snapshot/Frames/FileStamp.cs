using System.Security.Cryptography;
using StageView.Ground.Files;

namespace StageView.Snapshot.Frames;

/// <summary>Which file it was.</summary>
/// <param name="File">Its name, as the user wrote it; with <c>/</c> on every system.</param>
/// <param name="Sha256">SHA-256 of its bytes, lower-case hexadecimal.</param>
public sealed record FileStamp(string File, string Sha256)
{
    /// <exception cref="SnapshotException">The file can't be read.</exception>
    public static FileStamp Of(string path) => Of(path, [path]);

    /// <summary>One stamp over several files, in the order given (a rig and what it includes).</summary>
    public static FileStamp Of(string name, IEnumerable<string> paths)
    {
        ArgumentNullException.ThrowIfNull(paths);
        try
        {
            using var sha = IncrementalHash.CreateHash(HashAlgorithmName.SHA256);
            var buffer = new byte[1 << 16];
            foreach (var path in paths)
            {
                using var file = System.IO.File.OpenRead(path);
                for (int n; (n = file.Read(buffer)) > 0;)
                {
                    sha.AppendData(buffer, 0, n);
                }
            }

            return new FileStamp(Slashes.Of(name), Convert.ToHexStringLower(sha.GetHashAndReset()));
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            throw new SnapshotException($"{name}: can't be read: {e.Message}", e);
        }
    }
}
