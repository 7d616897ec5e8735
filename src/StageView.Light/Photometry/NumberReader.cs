using System.Buffers.Text;

namespace StageView.Light.Photometry;

/// <summary>Reads lines, and numbers parted by white space or commas, and keeps count of lines. Never allocates for numbers.</summary>
internal ref struct NumberReader(ReadOnlySpan<byte> bytes)
{
    private readonly ReadOnlySpan<byte> _bytes = bytes;
    private int _at = 0;

    /// <summary>The line being read, from 1.</summary>
    public int Line { get; private set; } = 1;

    public readonly int Left => _bytes.Length - _at;

    /// <summary>The rest of the line, trimmed, as Latin-1; false at the end of the file.</summary>
    public bool TryLine(out string line)
    {
        if (_at >= _bytes.Length)
        {
            line = "";
            return false;
        }

        var rest = _bytes[_at..];
        var end = rest.IndexOfAny((byte)'\n', (byte)'\r');
        var length = end < 0 ? rest.Length : end;
        line = System.Text.Encoding.Latin1.GetString(rest[..Math.Min(length, 4096)]).Trim();
        _at += length;
        if (end >= 0)
        {
            _at += rest[end] == '\r' && end + 1 < rest.Length && rest[end + 1] == '\n' ? 2 : 1;
            Line++;
        }

        return true;
    }

    /// <summary>The next number; false at the end or when the next token is not a finite number.</summary>
    public bool TryNumber(out double value, out string token)
    {
        while (_at < _bytes.Length && IsGap(_bytes[_at]))
        {
            if (_bytes[_at] == '\n' || (_bytes[_at] == '\r' && (_at + 1 >= _bytes.Length || _bytes[_at + 1] != '\n')))
            {
                Line++;
            }

            _at++;
        }

        var start = _at;
        while (_at < _bytes.Length && !IsGap(_bytes[_at]))
        {
            _at++;
        }

        return Parse(_bytes[start.._at], out value, out token);
    }

    /// <summary>A whole token as a finite number. A decimal comma counts as a point.</summary>
    public static bool Parse(ReadOnlySpan<byte> text, out double value, out string token)
    {
        token = "";
        var digits = text is [(byte)'+', ..] ? text[1..] : text;
        if (digits.Length is > 0 and < 64 && Utf8Parser.TryParse(digits, out value, out var used) && used == digits.Length && double.IsFinite(value))
        {
            return true;
        }

        value = 0;
        token = System.Text.Encoding.Latin1.GetString(text[..Math.Min(text.Length, 20)]);
        return false;
    }

    private static bool IsGap(byte b) => b is (byte)' ' or (byte)'\t' or (byte)'\r' or (byte)'\n' or (byte)',' or 0 or 0x1A;
}
