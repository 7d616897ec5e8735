using System.Security.Cryptography;
using System.Text;

namespace StageView.Live.Server;

/// <summary>One-time keys, and the sessions that they open. Only hashes are kept.</summary>
internal sealed class DoorKeys(TimeProvider clock)
{
    private const int MostOpen = 32;
    private static readonly TimeSpan KeyLife = TimeSpan.FromHours(12);
    private static readonly TimeSpan SessionLife = TimeSpan.FromHours(24);
    private readonly Lock _gate = new();
    private readonly Dictionary<string, DateTimeOffset> _keys = [];
    private readonly Dictionary<string, DateTimeOffset> _sessions = [];

    /// <summary>A key of 128 random bits that opens the door once.</summary>
    public string NewKey()
    {
        var key = Random();
        lock (_gate)
        {
            Trim(_keys, KeyLife);
            _keys[Hash(key)] = clock.GetUtcNow();
        }

        return key;
    }

    /// <summary>Uses a key up; the session it opened, or null when it never was one or was used before.</summary>
    public string? Spend(string? key)
    {
        if (key is not { Length: 32 })
        {
            return null;
        }

        lock (_gate)
        {
            Trim(_keys, KeyLife);
            if (!_keys.Remove(Hash(key)))
            {
                return null;
            }

            Trim(_sessions, SessionLife);
            var session = Random();
            _sessions[Hash(session)] = clock.GetUtcNow();
            return session;
        }
    }

    public bool Opens(string? session)
    {
        if (session is not { Length: 32 })
        {
            return false;
        }

        var hash = Hash(session);
        lock (_gate)
        {
            if (!_sessions.TryGetValue(hash, out var used) || clock.GetUtcNow() - used > SessionLife)
            {
                return false;
            }

            _sessions[hash] = clock.GetUtcNow();
            return true;
        }
    }

    private static string Random() => Convert.ToHexStringLower(RandomNumberGenerator.GetBytes(16));

    // A look-up by hash leaks no prefix of the key through its time.
    private static string Hash(string secret) => Convert.ToHexString(SHA256.HashData(Encoding.ASCII.GetBytes(secret)));

    private void Trim(Dictionary<string, DateTimeOffset> table, TimeSpan life)
    {
        var now = clock.GetUtcNow();
        foreach (var old in table.Where(p => now - p.Value > life).Select(p => p.Key).ToList())
        {
            table.Remove(old);
        }

        while (table.Count >= MostOpen)
        {
            table.Remove(table.MinBy(p => p.Value).Key);
        }
    }
}
