using System.Text;
using StageView.Live.Terms;

namespace StageView.Live.Pictures;

/// <content>What the drawing process says, and the moments that its window takes.</content>
internal sealed partial class PicturesProcess
{
    private void Overheard(string? line)
    {
        lock (_lastWords)
        {
            if (!string.IsNullOrWhiteSpace(line) && _lastWords.Length < 2000)
            {
                _lastWords.Append(line).Append('\n');
            }
        }
    }

    private void Read()
    {
        try
        {
            while (_wire.TryReceive(out var word, out var payload))
            {
                Heard(word, payload.Span);
            }
        }
        catch (Exception e)
        {
            // Whatever comes out of a failing process ends this one's pictures, never its listening.
            _trouble ??= e.Message;
        }

        _ended = true;
        Quietly(() => _process.WaitForExit(1000));
        _hello.Set();
        _drawn.Set();
        _taken.Set();
    }

    private void Heard(PictureWord word, ReadOnlySpan<byte> payload)
    {
        _picture.Lives();
        _taking.Lives();
        switch (word)
        {
            case PictureWord.Hello:
                HasWindow = (payload[0] & 1) != 0;
                IsSoftware = (payload[0] & 2) != 0;
                var lines = Encoding.UTF8.GetString(payload[1..]).Split('\n', 2);
                Renderer = lines[0];
                if (lines.Length > 1 && lines[1].Length > 0)
                {
                    _journal("picture", lines[1]);
                }

                _hello.Set();
                break;
            case PictureWord.Picture:
                var head = PlainBytes.To<PictureHead>(payload);
                if (head.Number == _number && _into is { } into)
                {
                    into.Resize(head.Width, head.Height);
                    payload[System.Runtime.CompilerServices.Unsafe.SizeOf<PictureHead>()..].CopyTo(into.Rgba);
                    if (into.Marker >= 0)
                    {
                        MarkerCells.Paint(into.Rgba, head.Width, head.Height, into.Marker);
                    }

                    _picture.Came();
                    _drawn.Set();
                }

                break;
            case PictureWord.GivenUp:
                if (PlainBytes.To<int>(payload) == _number)
                {
                    _givenUp = true;
                    _drawn.Set();
                }

                break;
            case PictureWord.Taken:
                _taking.Came();
                _taken.Set();
                break;
            case PictureWord.Shown:
                _feed.ShownInWindow(PlainBytes.To<ShownHead>(payload));
                break;
            case PictureWord.Pick:
                _title.Picked(_feed.PickForWindow(PlainBytes.To<Ray>(payload)));
                TellTitle();
                break;
            case PictureWord.Standing:
                _standing = PlainBytes.To<WindowStanding>(payload);
                break;
            case PictureWord.Trouble:
                _trouble = Encoding.UTF8.GetString(payload);
                break;
            case PictureWord.WindowClosed:
                WindowWasClosed = true;
                break;
        }
    }

    private void TellTitle()
    {
        if (_title.Changed() is { } title)
        {
            _wire.Send(PictureWord.Title, Encoding.UTF8.GetBytes(title));
        }
    }

    /// <summary>The window takes one moment at a time, always the newest.</summary>
    private void FeedWindow()
    {
        byte[] buffer = [];
        var last = 0UL;
        try
        {
            while (!_ended)
            {
                TellTitle();
                if (!_taken.WaitOne(500))
                {
                    continue;
                }

                MomentHead head;
                while (true)
                {
                    _feed.WaitForChange(TimeSpan.FromMilliseconds(16));
                    TellTitle();
                    lock (_sending)
                    {
                        var length = _feed.Newest(ref buffer, out head);
                        if (_ended || head.Fingerprint != last)
                        {
                            _taking.Begin();
                            SendMoment(_feed, head, buffer.AsSpan(0, length));
                            break;
                        }
                    }
                }

                last = head.Fingerprint;
            }
        }
        catch (Exception e) when (_ended || e is IOException or ObjectDisposedException)
        {
            // The process is gone, or being ended; the pump hears of it from its next look.
        }
        catch (Exception e)
        {
            // Nothing that goes wrong with the window may end the listening.
            _trouble = "the window's moments ended: " + e.Message;
            _ended = true;
        }
    }
}
