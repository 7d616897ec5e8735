using StageView.Rig.Pieces;
using StageView.Stage.Content;

namespace StageView.Show.Content;

/// <summary>
/// Frames that are read on a thread of their own, so that who asks never waits: what was read last is given, the time asked for is wished, and the newest
/// wish wins. Who asks for the same time again and again comes to rest on its frame.
/// </summary>
public sealed class WishedFrames : IContentFrames, IDisposable
{
    private static readonly TimeSpan Again = TimeSpan.FromSeconds(2);
    private static readonly TimeSpan Patience = TimeSpan.FromSeconds(1);
    private readonly Func<IContentFrames> _open;
    private readonly Action _came;
    private readonly Lock _gate = new();
    private readonly ManualResetEvent _ended = new(false);
    private readonly AutoResetEvent _wished = new(false);
    private readonly Thread _reading;
    private (TimeSpan At, bool Repeat) _wish;
    private (TimeSpan At, bool Repeat)? _read;
    private ContentImage? _image;
    private string? _trouble;
    private bool _disposed;

    /// <param name="open">Opens what is read; called on the thread, again after some seconds where it fails.</param>
    /// <param name="came">Called on the thread when another picture than before is there, or reading failed.</param>
    public WishedFrames(Func<IContentFrames> open, Action came)
    {
        (_open, _came) = (open, came);
        _reading = new Thread(Read) { IsBackground = true, Name = "content" };
        _reading.Start();
    }

    /// <summary>Of a file: a picture, a sequence or a video.</summary>
    public static WishedFrames Of(ContentPlacement placement, Action came, string program = "ffmpeg", string probe = "ffprobe") =>
        new(() => ContentStill.Reads(placement.FullPath) ? ContentStill.Open(placement) : ContentFile.Open(placement, program, probe), came);

    /// <summary>Whether a file is a picture that stands.</summary>
    public static bool IsStill(ContentPlacement placement)
    {
        ArgumentNullException.ThrowIfNull(placement);
        return ContentStill.Reads(placement.FullPath);
    }

    /// <summary>Why nothing can be read, in one line; null while it can be, and before the first try.</summary>
    public string? Trouble
    {
        get
        {
            lock (_gate)
            {
                return _trouble;
            }
        }
    }

    /// <summary>Whether what was wished last lies after its last frame.</summary>
    public bool IsOver
    {
        get
        {
            lock (_gate)
            {
                return _read is not null && _image is null;
            }
        }
    }

    /// <summary>The frame that was read last; wishes for the one of this time. Never waits.</summary>
    public ContentImage? FrameAt(TimeSpan sinceStart, bool repeat)
    {
        lock (_gate)
        {
            if (_read != (sinceStart, repeat) && !_disposed)
            {
                _wish = (sinceStart, repeat);
                _wished.Set();
            }

            return _image;
        }
    }

    public void Dispose()
    {
        lock (_gate)
        {
            if (_disposed)
            {
                return;
            }

            _disposed = true;
            _ended.Set();
        }

        // One that a slow disk holds comes to its end later.
        if (_reading.Join(Patience))
        {
            _ended.Dispose();
            _wished.Dispose();
        }
    }

    private void Read()
    {
        IContentFrames? frames = null;
        while (WaitHandle.WaitAny([_ended, _wished]) == 1)
        {
            (TimeSpan At, bool Repeat) wish;
            lock (_gate)
            {
                wish = _wish;
                if (_read == wish)
                {
                    // Wished again while it was read.
                    continue;
                }
            }

            try
            {
                frames ??= _open();
                Has(frames.FrameAt(wish.At, wish.Repeat), wish, null);
            }
            catch (Exception e) when (e is not OutOfMemoryException)
            {
                (frames as IDisposable)?.Dispose();
                frames = null;
                Has(null, null, e.Message.ReplaceLineEndings(" "));
                if (_ended.WaitOne(Again))
                {
                    break;
                }

                _wished.Set();
            }
        }

        (frames as IDisposable)?.Dispose();
    }

    private void Has(ContentImage? image, (TimeSpan At, bool Repeat)? read, string? trouble)
    {
        lock (_gate)
        {
            var same = ReferenceEquals(image, _image) && trouble == _trouble && (read is null) == (_read is null);
            (_image, _read, _trouble) = (image, read, trouble);
            if (same)
            {
                return;
            }
        }

        _came();
    }
}
